"""Projects entries into rows, and rows back into the facts that a verdict rests on."""

from collections.abc import Iterable, Sequence

from sqlalchemy import delete, func, or_, select, union_all
from sqlalchemy.orm import Session

from walkaround.rules import facts as rules
from walkaround.rules.body import is_uuid
from walkaround.rules.checklist import Checklist
from walkaround.rules.coverage import DOUBTFUL, FULL
from walkaround.rules.defect import Limit
from walkaround.rules.entry import Doubt, Entry
from walkaround.rules.setting import Dated
from walkaround.store import entries, settings, units
from walkaround.store.db import site_of
from walkaround.store.fact_rows import FACTS, rows_of
from walkaround.store.lists import lists
from walkaround.store.models import (
    DefectRow,
    EntryRow,
    LinkRow,
    MeterChangeRow,
    PhotoUseRow,
    ReadingRow,
    UnitRow,
    WalkRow,
)


def project(db: Session, unit: UnitRow, new: Sequence[EntryRow]) -> None:
    """Write what follows from new entries and from all that they are related to."""
    reader = entries.reader(db, {(row.by, row.device) for row in new})
    made = [reader.entry(row) for row in new]
    _link(db, unit, made)
    together = related(db, unit.number, {row.id for row in new})
    if len(together) > 1:
        _project_together(db, unit, together)
    else:
        _write(db, unit, made)


def project_all(db: Session, unit: UnitRow, rows: Sequence[EntryRow]) -> None:
    """Write what follows from all entries of a unit, into tables that hold nothing of it."""
    reader = entries.reader(db)
    found = [reader.entry(row) for row in rows]
    _link(db, unit, found)
    unit.standing, unit.last_walk = unit.hours, None
    _write(db, unit, found)


def project_again(db: Session, unit: UnitRow) -> None:
    """Write all that follows from a unit's entries anew, after something else about it changed."""
    for table in (*FACTS, LinkRow, PhotoUseRow):
        db.execute(delete(table).where(table.site == unit.site, table.unit == unit.number))
    project_all(db, unit, entries.of_unit(db, unit.number))


def empty(db: Session) -> None:
    """Forget everything that follows from the site's entries."""
    site = site_of(db)
    for table in (*FACTS, LinkRow, PhotoUseRow):
        db.execute(delete(table).where(table.site == site))
    db.flush()


def learn_critical(db: Session, learnt: Iterable[Checklist]) -> None:
    """Project again what new versions of checklists may have made critical."""
    names = {(made.name, item.name) for made in learnt for item in made.items if item.critical}
    query = select(DefectRow).where(DefectRow.site == site_of(db), DefectRow.critical.is_(False))
    for number in [unit.number for unit in units.every(db)] if names else []:
        # Locked, or an entry that is on its way in would not learn of the new version.
        unit = units.locked(db, number)
        # Of a defect that came with two items none is kept; each may be critical now.
        item = or_(DefectRow.item.in_([i for _, i in names]), DefectRow.item.is_(None))
        here = query.where(DefectRow.unit == number, item)
        rows = [r for r in db.scalars(here) if not r.checklist or (r.checklist, r.item) in names]
        if unit and rows:
            _project_together(db, unit, related(db, number, {row.entry for row in rows}))


def limit_of(db: Session, unit: str) -> Limit:
    """Return how much biodiesel a unit takes, by instant."""
    history = settings.history(db, "biodiesel_limit", about=unit)

    def limit(instant: int) -> float | None:
        return float(Dated(history).at(instant)) if history else None

    return limit


def machines_of(db: Session, unit: UnitRow) -> tuple[str, ...]:
    """Return all that a unit has ever been called."""
    return (unit.machine, *(name for _, name in settings.history(db, "machine", about=unit.number)))


def _link(db: Session, unit: UnitRow, new: Iterable[Entry]) -> None:
    """Keep what names what, so that an entry finds all that it is related to."""
    known, limit = lists(db), limit_of(db, unit.number)
    for entry in new:
        named = set(rules.names(entry))
        if isinstance(entry.body, Doubt) and entry.body.other:
            named |= rules.names(entry.body.other)
        added = rules.gather([entry], known, machines_of(db, unit), limit).defects
        pairs = {(target, entry.id) for target in named}
        pairs |= {(defect.id, defect.entry) for defect in added if defect.id != defect.entry}
        for target, source in pairs:
            db.merge(LinkRow(site=unit.site, unit=unit.number, target=target, entry=source))
    db.flush()


def related(db: Session, unit: str, ids: set[str]) -> set[str]:
    """Return the ids that hang together with these, near and far."""
    found, fresh = set(ids), set(ids)
    link = LinkRow
    pairs = select(link.target, link.entry).where(link.site == site_of(db), link.unit == unit)
    while fresh:
        # Two ways to find them, each by its index; with an *or* all of the unit would be read.
        ways = [pairs.where(end.in_(list(fresh))) for end in (link.target, link.entry)]
        fresh = {id for pair in db.execute(union_all(*ways)) for id in pair} - found
        found |= fresh
    return {id for id in found if is_uuid(id)}


def _project_together(db: Session, unit: UnitRow, ids: set[str]) -> None:
    """Write anew what follows from entries that hang together."""
    reader = entries.reader(db)
    found = [reader.entry(row) for row in entries.named(db, ids) if row.unit == unit.number]
    _forget(db, unit.number, ids)
    _write(db, unit, found)


def _forget(db: Session, unit: str, ids: set[str]) -> None:
    site = site_of(db)
    for table, column in FACTS.items():
        db.execute(
            delete(table).where(table.site == site, table.unit == unit, column.in_(list(ids)))
        )


def _write(db: Session, unit: UnitRow, found: Sequence[Entry]) -> None:
    gathered = rules.gather(found, lists(db), machines_of(db, unit), limit_of(db, unit.number))
    for row in rows_of(gathered, unit.site, unit.number):
        db.add(row)
    for use in _photo_uses(unit, found):
        db.merge(use)
    db.flush()
    if gathered.readings or gathered.changes:
        unit.standing = _standing(db, unit)
    if gathered.walks:
        unit.last_walk = _last_walk(db, unit)
    db.flush()


def _photo_uses(unit: UnitRow, found: Iterable[Entry]) -> Iterable[PhotoUseRow]:
    for entry in found:
        answers = getattr(entry.body, "answers", ())
        named = [*getattr(entry.body, "photos", ()), *(p for a in answers for p in a.photos)]
        if paper := getattr(entry.body, "paper", None):
            named.append(paper)
        for sha256 in dict.fromkeys(named):
            yield PhotoUseRow(site=unit.site, sha256=sha256, entry=entry.id, unit=unit.number)


def _standing(db: Session, unit: UnitRow) -> float | None:
    """Return what the hour meter shows: the highest that counts since the last change."""
    change, reading = MeterChangeRow, ReadingRow
    here = (change.site == unit.site, change.unit == unit.number, change.counts)
    newest = select(change).where(*here).order_by(change.made_at.desc(), change.entry.desc())
    last = db.scalars(newest.limit(1)).first()
    query = select(func.max(reading.value)).where(
        reading.site == unit.site, reading.unit == unit.number, reading.counts
    )
    if last:
        query = query.where(reading.made_at >= last.made_at)
    first = last.new if last else unit.hours
    return max((v for v in (db.scalar(query), first) if v is not None), default=None)


def _last_walk(db: Session, unit: UnitRow) -> str | None:
    query = select(WalkRow.entry).where(WalkRow.site == unit.site, WalkRow.unit == unit.number)
    query = query.where(WalkRow.standing.in_((FULL, DOUBTFUL)))
    return db.scalar(query.order_by(WalkRow.made_at.desc(), WalkRow.entry.desc()).limit(1))
