"""Finds defects, how often their items failed before, what was done about them, and remarks."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sqlalchemy import ColumnElement, case, distinct, func, select, tuple_
from sqlalchemy.orm import Session

from walkaround.rules.body import Clear, Defer
from walkaround.rules.entry import Book, Entry
from walkaround.rules.instant import DAY
from walkaround.rules.late import Repair
from walkaround.store import entries, facts
from walkaround.store.db import site_of
from walkaround.store.models import DefectRow, EntryRow, LinkRow, RemarkRow

RECENT = 60 * DAY
REPAIRS_SHOWN = 12
REMARKS_FOR = 30 * DAY
REMARKS_SHOWN = 100

Place = tuple[str, str]  # a unit and an item


@dataclass(frozen=True)
class Times:
    """How often an item of a unit failed and was cleared before: lately, and in all."""

    lately: int = 0
    in_all: int = 0


@dataclass(frozen=True)
class Heard:
    """What the logbook holds about an entry besides its body."""

    seq: int
    seen: int | None
    confirmed: bool


@dataclass(frozen=True)
class Told:
    """What the entries that hang together with some defects say, each in the order made."""

    clears: tuple[Entry, ...]
    defers: tuple[Entry, ...]
    waiting: tuple[Entry, ...]  # clears and deferrals without effect: nobody has confirmed them
    withdrawn: frozenset[str]


def find(db: Session, unit: str, id: str) -> DefectRow | None:
    """Return one defect of a unit."""
    return db.get(DefectRow, (site_of(db), unit, id.lower()))


def named(db: Session, unit: str, ids: Iterable[str]) -> list[DefectRow]:
    """Return those of these defects that the unit has, oldest first."""
    row = DefectRow
    here = select(row).where(row.site == site_of(db), row.unit == unit, row.id.in_(list(ids)))
    return list(db.scalars(here.order_by(row.made_at, row.id)))


def ended_with(db: Session, defect: DefectRow) -> list[DefectRow]:
    """Return the defects that the same clear ended."""
    row = DefectRow
    here = select(row).where(row.site == site_of(db), row.unit == defect.unit)
    same = here.where(row.item == defect.item, row.cleared_by == defect.cleared_by)
    return list(db.scalars(same.order_by(row.made_at, row.id))) if defect.item else [defect]


def times(db: Session, places: Iterable[Place], now: int) -> dict[Place, Times]:
    """Return how often these items failed before; all that one clear ended is once."""
    row = DefectRow
    lately = case((row.made_at >= now - RECENT, row.cleared_by))
    counts = func.count(distinct(lately)), func.count(distinct(row.cleared_by))
    query = select(row.unit, row.item, *counts).where(*_at(db, places))
    found = db.execute(query.group_by(row.unit, row.item))
    return {(unit, item): Times(few, all) for unit, item, few, all in found if item}


def repairs(db: Session, places: Iterable[Place], now: int) -> dict[Place, list[Repair]]:
    """Return the clears of these items in the last days, so that what came late can say so."""
    row = DefectRow
    query = select(row.unit, row.item, row.cleared_by, row.cleared_at).distinct()
    ended = query.where(*_at(db, places), row.cleared_at >= now - RECENT)
    rows = db.execute(ended).all()
    entry = EntryRow
    ids = {clear for _, _, clear, _ in rows}
    made = select(entry.id, entry.seq, entry.by).where(entry.site == site_of(db), entry.id.in_(ids))
    heads = {id: (seq, by) for id, seq, by in db.execute(made)}
    found: dict[Place, list[Repair]] = {}
    for unit, item, clear, at in rows:
        if item and clear and at is not None:
            seq, by = heads[clear]
            found.setdefault((unit, item), []).append(Repair(clear, seq, at, by))
    return found


def heard(db: Session, ids: Iterable[str]) -> dict[str, Heard]:
    """Return the places of entries, and what their makers had seen."""
    row = EntryRow
    query = select(row.id, row.seq, row.seen, row.signature).where(
        row.site == site_of(db), row.id.in_(list(ids))
    )
    return {
        id: Heard(seq, _seq(seen), signature == "confirmed")
        for id, seq, seen, signature in db.execute(query)
    }


def told(db: Session, unit: str, ids: Iterable[str]) -> Told:
    """Return what was done about defects, and what waits for a confirmation."""
    wanted = set(ids)
    rows = entries.named(db, facts.related(db, unit, wanted))
    reader = entries.reader(db)
    book = Book(reader.entry(row) for row in rows if row.unit == unit)
    about = [e for e in book.entries if isinstance(e.body, Clear | Defer)]
    mine = [e for e in about if wanted & set(e.body.defects)]  # type: ignore[attr-defined]
    counting = [e for e in mine if book.full(e)]
    return Told(
        clears=tuple(e for e in counting if e.kind == "clear"),
        defers=tuple(e for e in counting if e.kind == "defer"),
        waiting=tuple(e for e in mine if not book.full(e) and e.id not in book.contested),
        withdrawn=frozenset(e.id for e in mine if book.withdrawn(e)),
    )


def cleared_before(
    db: Session, place: Place, *, without: Iterable[str] = ()
) -> list[tuple[int, Entry]]:
    """Return the newest clears of an item of a unit, newest first, each with when it was found."""
    row = DefectRow
    first = func.min(row.made_at)
    query = select(row.cleared_by, first).where(
        row.site == site_of(db), row.unit == place[0], row.item == place[1]
    )
    ended = query.where(row.cleared_by.is_not(None), row.cleared_by.not_in(list(without)))
    newest = ended.group_by(row.cleared_by).order_by(func.max(row.cleared_at).desc())
    found = {str(id): at for id, at in db.execute(newest.limit(REPAIRS_SHOWN))}
    reader = entries.reader(db)
    rows = {row.id: row for row in entries.named(db, found)}
    return [(at, reader.entry(rows[id])) for id, at in found.items() if id in rows]


def same_person(db: Session, unit: str, clears: Mapping[str, str | None]) -> set[str]:
    """Return which of these clears (entry id: who made it) end something that their maker found."""
    row, link = DefectRow, LinkRow
    query = (
        select(link.entry, row.by)
        .join(row, (row.site == link.site) & (row.unit == link.unit) & (row.id == link.target))
        .where(link.site == site_of(db), link.unit == unit, link.entry.in_(list(clears)))
    )
    return {id for id, finder in db.execute(query) if finder and clears[id] == finder}


def remarks(db: Session, now: int, unit: str | None = None) -> list[RemarkRow]:
    """Return the remarks of the last days, newest first."""
    row = RemarkRow
    query = select(row).where(row.site == site_of(db), row.made_at >= now - REMARKS_FOR)
    here = query.where(row.unit == unit) if unit else query
    newest = here.order_by(row.made_at.desc(), row.entry, row.item)
    return list(db.scalars(newest.limit(REMARKS_SHOWN)))


def _at(db: Session, places: Iterable[Place]) -> list[ColumnElement[bool]]:
    """Return the conditions of being at one of these places; of pairs SQLite uses no index."""
    row, pairs = DefectRow, set(places)
    units, items = ({pair[end] for pair in pairs} for end in (0, 1))
    alone = [row.site == site_of(db), row.unit.in_(units), row.item.in_(items)]
    return [*alone, tuple_(row.unit, row.item).in_(pairs)]


def _seq(seen: str | None) -> int | None:
    plain = json.loads(seen) if seen else {}
    seq = plain.get("seq") if isinstance(plain, dict) else None
    return seq if isinstance(seq, int) and not isinstance(seq, bool) else None
