"""The logbook: the only writer of entries, and through the projector of what follows from them."""

import hashlib
import json
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules import instant
from walkaround.store import bodies, entries, facts, units
from walkaround.store.db import site_of
from walkaround.store.models import EntryRow, UnitRow

NOTHING_BEFORE = "0" * 64


@dataclass(frozen=True)
class Draft:
    """An entry before it has its place: what its maker sent, and what the door found."""

    id: str
    kind: str
    unit: str
    made_at: str
    body: dict[str, Any]
    by: str | None = None
    roles: tuple[str, ...] = ()
    signature: str = "confirmed"
    device: str | None = None
    n: int | None = None
    seen: dict[str, Any] | None = None
    skew_ms: int = 0


@dataclass(frozen=True)
class Break:
    """Where a logbook does not hold, and why."""

    unit: str
    seq: int
    why: str


def append(db: Session, draft: Draft, now: int) -> EntryRow:
    """Give an entry its place in its unit's logbook, chain it, and write what follows from it."""
    unit = units.locked(db, draft.unit)
    if unit is None:
        raise LookupError(f"there is no unit {draft.unit}")
    row = chain(draft, unit, now)
    db.add(row)
    db.flush()
    facts.project(db, unit, [row])
    return row


def chain(draft: Draft, unit: UnitRow, now: int) -> EntryRow:
    """Return an entry at its place, behind the one that was the unit's last."""
    members = {
        **vars(draft),
        "site": unit.site,
        "seq": unit.seq + 1,
        "received_at": instant.text(now),
        "prev": unit.hash,
    }
    row = _row(members)
    unit.seq, unit.hash = row.seq, row.hash
    return row


def append_own(
    db: Session, unit: str, kind: str, body: dict[str, Any], now: int, by: str | None = None
) -> None:
    """Append what only the server says, at its own time."""
    append(db, Draft(str(uuid.uuid4()), kind, unit, instant.text(now), body, by), now)


def verify(db: Session, number: str) -> Break | None:
    """Return the first place where a unit's logbook does not hold, if there is one."""
    prev, seq = NOTHING_BEFORE, 0
    for row in entries.of_unit(db, number):
        seq += 1
        if row.seq != seq:
            return Break(number, seq, "an entry is missing here")
        if why := _wrong(row, prev):
            return Break(number, seq, why)
        prev = row.hash
    unit = units.find(db, number)
    if unit is None:
        return Break(number, seq, "the unit of this logbook is missing")
    return _wrong_end(unit, seq, prev)


def numbers(db: Session) -> list[str]:
    """Return every unit that has a logbook, also one that the list of units has lost."""
    site = site_of(db)
    with_entries = select(EntryRow.unit).where(EntryRow.site == site).distinct()
    known = select(UnitRow.number).where(UnitRow.site == site)
    return sorted(set(db.scalars(with_entries)) | set(db.scalars(known)))


def export(db: Session, number: str) -> Iterator[str]:
    """Yield a unit's entries as JSON, one a line."""
    for row in entries.of_unit(db, number):
        yield json.dumps(entries.members(row), ensure_ascii=False)


def replay(db: Session) -> int:
    """Rebuild what follows from the entries, unit by unit; return how many entries there were."""
    facts.empty(db)
    count = 0
    for unit in units.every(db):
        rows = entries.of_unit(db, unit.number)
        facts.project_all(db, unit, rows)
        count += len(rows)
    return count


def _wrong_end(unit: UnitRow, seq: int, hash: str) -> Break | None:
    """Compare the last entry that is there with the last one that was written."""
    if unit.seq > seq:
        return Break(unit.number, seq + 1, "the logbook ends before its last entry")
    if unit.seq < seq:
        return Break(unit.number, unit.seq + 1, "it was not written through the logbook")
    if unit.hash != hash:
        return Break(unit.number, seq, "it is not the entry that was written last")
    return None


def _row(members: dict[str, Any], text: str | None = None) -> EntryRow:
    """Return an entry as it is stored; the text that is hashed is made of its parts' texts."""
    written = {name: bodies.canonical(value) for name, value in members.items()}
    if text is None:
        text = "{" + ",".join(f'"{name}":{written[name]}' for name in sorted(written)) + "}"
    columns = {name: written[name] for name in ("roles", "body", "seen")}
    columns["text"], columns["hash"] = text, hashlib.sha256(text.encode()).hexdigest()
    if members["seen"] is None:
        del columns["seen"]
    return EntryRow(**{**members, **columns})


def _wrong(row: EntryRow, prev: str) -> str | None:
    """Say what is wrong with one entry, in itself or with the one before it."""
    try:
        members = json.loads(row.text)
        wanted = _row(members, row.text)
    except (ValueError, KeyError, TypeError, bodies.Unreadable):
        return "its text cannot be read"
    for column in EntryRow.__mapper__.column_attrs.keys():  # noqa: SIM118  (no dict)
        if getattr(row, column) != getattr(wanted, column):
            return f"its {column} was changed"
    if bodies.canonical(members) != row.text:
        return "its text is not as it was written"
    return None if row.prev == prev else "it does not follow from the entry before it"
