"""All blueprints, one a noun."""

from walkaround.web import board, entries, health, labels, openapi, photos, programs, sign_in, start

ALL = (
    health.bp,
    start.bp,
    sign_in.bp,
    entries.bp,
    programs.bp,
    photos.bp,
    openapi.bp,
    board.bp,
    labels.bp,
)
