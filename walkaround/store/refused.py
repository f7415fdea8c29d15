"""What could not be entered, kept aside for the supervisor."""

import json
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Exists, exists, func, select
from sqlalchemy.orm import Session

from walkaround.rules import instant
from walkaround.store.db import site_of
from walkaround.store.models import DoubtRow, EntryRow, RefusedRow

NIL = uuid.UUID(int=0)
SIZE = 30


@dataclass(frozen=True)
class Page:
    """Some refusals, and whether there are older ones."""

    rows: Sequence[RefusedRow]
    more: bool


def keep(db: Session, refused: RefusedRow) -> None:
    """Keep a refusal; the same one again is one."""
    db.merge(refused)


def id_of(*parts: str | None) -> str:
    """Return the id of a refusal, made of what makes it one of its own."""
    return str(uuid.uuid5(NIL, "\n".join(part or "" for part in parts)))


def every(db: Session) -> Sequence[RefusedRow]:
    """Return all refusals, newest first."""
    query = select(RefusedRow).where(RefusedRow.site == site_of(db))
    return db.scalars(query.order_by(RefusedRow.received_at.desc(), RefusedRow.id)).all()


def page(db: Session, number: int) -> Page:
    """Return one page of refusals, newest first; the first is number 0."""
    query = select(RefusedRow).where(RefusedRow.site == site_of(db))
    newest = query.order_by(RefusedRow.received_at.desc(), RefusedRow.id)
    rows = db.scalars(newest.offset(number * SIZE).limit(SIZE + 1)).all()
    return Page(rows[:SIZE], len(rows) > SIZE)


def count_waiting(db: Session) -> int:
    """Return how many nobody has put right: not entered since, nor settled as a doubt."""
    query = select(func.count()).where(RefusedRow.site == site_of(db))
    settled = _doubt().where(DoubtRow.settled_by.is_not(None))
    return db.scalar(query.where(~_entered(), ~settled)) or 0


def entered(db: Session, rows: Sequence[RefusedRow]) -> set[str]:
    """Return the ids of those refusals whose entry came again and was taken."""
    query = select(RefusedRow.id).where(RefusedRow.site == site_of(db), _entered())
    return set(db.scalars(query.where(RefusedRow.id.in_([row.id for row in rows]))))


def _entered() -> ColumnElement[bool]:
    """Say whether a refusal came again and stands in the logbook; a contradiction does not."""
    taken = exists().where(EntryRow.site == RefusedRow.site, EntryRow.id == RefusedRow.entry)
    return taken & ~_doubt()


def _doubt() -> Exists:
    return exists().where(DoubtRow.site == RefusedRow.site, DoubtRow.about == RefusedRow.entry)


def as_json(row: RefusedRow) -> dict[str, Any]:
    """Return a refusal as programs see it."""
    return {
        "id": row.entry,
        "unit": row.unit,
        "kind": row.kind,
        "by": row.by,
        "received_at": instant.text(row.received_at),
        "why": row.why,
        "content": json.loads(row.content),
    }
