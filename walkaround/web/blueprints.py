"""All blueprints, one a noun."""

from walkaround.web import entries, health, programs, sign_in, start

ALL = (health.bp, start.bp, sign_in.bp, entries.bp, programs.bp)
