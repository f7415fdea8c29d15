"""All blueprints, one a noun."""

from walkaround.web import (
    board,
    doubts,
    defects,
    entries,
    health,
    holds,
    labels,
    logbook,
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
    logbook.bp,
    doubts.bp,
    units.bp,
    walkarounds.bp,
    reports.bp,
)
