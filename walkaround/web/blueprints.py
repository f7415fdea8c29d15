"""All blueprints, one a noun."""

from walkaround.web import board, entries, health, photos, programs, sign_in, start

ALL = (health.bp, start.bp, sign_in.bp, entries.bp, programs.bp, photos.bp, board.bp)
