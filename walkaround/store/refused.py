"""What could not be entered, kept aside for the supervisor."""

import json
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Exists, exists, func, select
from sqlalchemy.orm import Session

from walkaround.rules import instant
from walkaround.rules.entry import OTHER_CONTENT
from walkaround.rules.person import SUPERVISOR
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


def find(db: Session, id: str) -> RefusedRow | None:
    """Return the refusal with that id of its own."""
    return db.get(RefusedRow, (site_of(db), id))


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
    """Return how many nobody has put right: not entered since, nor settled, nor noted as done."""
    query = select(func.count()).where(RefusedRow.site == site_of(db))
    settled = _doubt().where(DoubtRow.settled_by.is_not(None))
    return db.scalar(query.where(~_entered(), ~settled, ~_noted())) or 0


def entered(db: Session, rows: Sequence[RefusedRow]) -> set[str]:
    """Return the ids of those refusals whose entry came again and was taken."""
    return _which(db, rows, _entered())


def noted(db: Session, rows: Sequence[RefusedRow]) -> set[str]:
    """Return the ids of those refusals of which a supervisor has said that they are dealt with."""
    return _which(db, rows, _noted())


def _which(db: Session, rows: Sequence[RefusedRow], holds: ColumnElement[bool]) -> set[str]:
    query = select(RefusedRow.id).where(RefusedRow.site == site_of(db), holds)
    return set(db.scalars(query.where(RefusedRow.id.in_([row.id for row in rows]))))


def _entered() -> ColumnElement[bool]:
    """Say whether a refusal came again and stands in the logbook; a contradiction does not."""
    id = func.lower(RefusedRow.entry)  # as ids are in logbooks, however they were sent
    taken = exists().where(EntryRow.site == RefusedRow.site, EntryRow.id == id)
    return taken & ~_doubt().where(DoubtRow.why == OTHER_CONTENT)


def _noted() -> ColumnElement[bool]:
    """Say whether a supervisor's words in a logbook bear the id of the refusal."""
    words = exists().where(EntryRow.site == RefusedRow.site, EntryRow.id == RefusedRow.id)
    return words.where(
        EntryRow.kind == "correction",
        EntryRow.signature == "confirmed",
        EntryRow.roles.contains(f'"{SUPERVISOR}"'),
    )


def _doubt() -> Exists:
    about = func.lower(RefusedRow.entry)
    return exists().where(DoubtRow.site == RefusedRow.site, DoubtRow.about == about)


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
