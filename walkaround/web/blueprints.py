"""All blueprints, one a noun."""

from walkaround.web import (
    board,
    defects,
    entries,
    health,
    holds,
    labels,
    openapi,
    photos,
    programs,
    reports,
    sign_in,
    start,
    units,
    walkarounds,
)

ALL = (
    health.bp,
    start.bp,
    sign_in.bp,
    entries.bp,
    programs.bp,
    photos.bp,
    openapi.bp,
    board.bp,
    defects.bp,
    labels.bp,
    holds.bp,
    units.bp,
    walkarounds.bp,
    reports.bp,
)
