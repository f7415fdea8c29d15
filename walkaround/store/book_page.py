"""One page of a unit's logbook, newest first; its cost does not grow with the logbook."""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules.entry import Book, Entry
from walkaround.store import entries
from walkaround.store.db import site_of
from walkaround.store.models import EntryRow, LinkRow, UnitRow

SIZE = 30


@dataclass(frozen=True)
class BookPage:
    """Some entries, and the ways on: `newer` and `older` are places to read before (0: the end)."""

    rows: list[EntryRow]
    entries: dict[str, Entry]
    book: Book  # these entries with all that speak of them
    newer: int | None
    older: int | None


def page(db: Session, unit: UnitRow, before: int = 0) -> BookPage:
    """Return the entries before a place; without one, the newest."""
    row = EntryRow
    query = select(row).where(row.site == site_of(db), row.unit == unit.number)
    query = query.where(row.seq < before) if before else query
    found = list(db.scalars(query.order_by(row.seq.desc()).limit(SIZE + 1)))
    rows, reader = found[:SIZE], entries.reader(db)
    made = {row.id: reader.entry(row) for row in rows}
    speaking = [reader.entry(row) for row in _speaking(db, unit, rows) if row.id not in made]
    newer = before + SIZE if before else None
    return BookPage(
        rows=rows,
        entries=made,
        book=Book([*made.values(), *speaking]),
        newer=None if newer is None else newer if newer <= unit.seq else 0,
        older=rows[-1].seq if len(found) > SIZE else None,
    )


def _speaking(db: Session, unit: UnitRow, rows: list[EntryRow]) -> list[EntryRow]:
    """Return the entries that name these: confirmations, corrections, doubts."""
    link, ids = LinkRow, [row.id for row in rows]
    query = select(link.entry).where(link.site == site_of(db), link.unit == unit.number)
    return entries.named(db, db.scalars(query.where(link.target.in_(ids))))
