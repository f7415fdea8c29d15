"""The versions of checklists: the one in force, all that there were, and taking in new ones."""

import json
from collections.abc import Collection, Iterable

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules.checklist import ANY_MACHINE, Checklist, kind_of
from walkaround.store import snapshot
from walkaround.store.checklists_yaml import Document
from walkaround.store.db import site_of
from walkaround.store.lists import lists
from walkaround.store.models import ChecklistVersionRow

Version = tuple[str, str]


def in_force(db: Session, machine: str, occasion: str) -> Checklist | None:
    """Return the list in force for a machine, else the generic one, else None."""
    now = [v for v in lists(db).versions if v.until is None and v.checklist.occasion == occasion]
    for kind in (kind_of(machine), ANY_MACHINE):
        # While a file is broken a new one may be for the same machine: the newer counts.
        fitting = [v for v in now if kind_of(v.checklist.machine) == kind]
        if fitting:
            return max(fitting, key=lambda v: (v.since, v.checklist.name)).checklist
    return None


def all_versions(db: Session) -> list[Checklist]:
    """Return every version that the site has had."""
    return [version.checklist for version in lists(db).versions]


def find(db: Session, checklist: str, version: str) -> Checklist | None:
    """Return one version that the site has had."""
    return lists(db).find(checklist, version)


def sync(
    db: Session, documents: Iterable[Document], now: int, *, broken: Collection[str] = ()
) -> list[Version]:
    """Put these documents in force and end what is gone; return the versions that are new.

    What came from one of the `broken` files stays in force until its file can be read again.
    """
    site = site_of(db)
    query = select(ChecklistVersionRow).where(ChecklistVersionRow.site == site)
    held = {(row.checklist, row.version): row for row in db.scalars(query)}
    wanted = {(read.checklist.name, read.checklist.version): read for read in documents}
    names = {name for name, _ in wanted}
    for key, row in held.items():
        gone = key not in wanted and (row.file not in broken or row.checklist in names)
        if gone and row.until is None:
            row.until = now
    for key, document in wanted.items():
        if key in held:
            held[key].until = None
            held[key].file = document.file
    new = [key for key in wanted if key not in held]
    since = now if held else 0
    db.add_all(_row(site, wanted[key], since) for key in new)
    db.flush()
    snapshot.forget(db)
    return new


def _row(site: str, document: Document, since: int) -> ChecklistVersionRow:
    checklist = document.checklist
    return ChecklistVersionRow(
        site=site,
        checklist=checklist.name,
        version=checklist.version,
        file=document.file,
        machine=kind_of(checklist.machine),
        occasion=checklist.occasion,
        content=json.dumps(document.plain, ensure_ascii=False),  # findings keep their order
        since=since,
        until=None,
    )
