"""The site's checklists in all their versions, as the rules take them."""

import json
from functools import lru_cache

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules.checklist import Checklist, from_plain
from walkaround.rules.lists import Lists, Version
from walkaround.store import snapshot
from walkaround.store.db import site_of
from walkaround.store.models import ChecklistVersionRow

Key = tuple[str, str, int, int | None]


def lists(db: Session) -> Lists:
    """Return every version that the site has had; parsed once, for content never changes."""
    return snapshot.once(db, "lists", lambda: _lists(db))


def _lists(db: Session) -> Lists:
    row = ChecklistVersionRow
    query = select(row.checklist, row.version, row.since, row.until).where(row.site == site_of(db))
    keys: tuple[Key, ...] = tuple(sorted((n, v, s, u) for n, v, s, u in db.execute(query)))
    if found := _known.get((site_of(db), keys)):
        return found
    made = Lists(Version(_checklist(db, name, version), s, u) for name, version, s, u in keys)
    _known.clear()
    _known[site_of(db), keys] = made
    return made


_known: dict[tuple[str, tuple[Key, ...]], Lists] = {}


def _checklist(db: Session, name: str, version: str) -> Checklist:
    row = db.get(ChecklistVersionRow, (site_of(db), name, version))
    assert row is not None
    return _parsed(row.content, version)


@lru_cache(maxsize=512)
def _parsed(content: str, version: str) -> Checklist:
    return from_plain(json.loads(content), version)
