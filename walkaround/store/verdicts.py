"""Verdicts of units: their facts out of rows, or out of the entries of a past instant."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from walkaround.rules import facts as rules
from walkaround.rules import instant
from walkaround.rules.coverage import Ground, Walk
from walkaround.rules.lists import Lists
from walkaround.rules.meter import Meter, MeterChange
from walkaround.rules.setting import SiteRules
from walkaround.rules.verdict import Facts
from walkaround.store import entries, settings
from walkaround.store.db import site_of
from walkaround.store.fact_rows import defect_of, doubt_of, hold_of, walk_of
from walkaround.store.facts import limit_of, machines_of
from walkaround.store.lists import lists
from walkaround.store.models import (
    DefectRow,
    DoubtRow,
    HoldRow,
    MeasureRow,
    MeterChangeRow,
    UnitRow,
    WalkRow,
)


def facts_of(db: Session, units: Sequence[UnitRow], now: int) -> dict[str, Facts]:
    """Return the facts of units as of now, in a handful of queries whatever their number."""
    known, site = lists(db), settings.site_rules(db)
    only = [unit.number for unit in units] if len(units) < 20 else None
    found = {
        "defects": _grouped(_defects(db, only, site), defect_of),
        "holds": _grouped(_standing(db, HoldRow, HoldRow.ended_by, only), hold_of),
        "doubts": _grouped(_standing(db, DoubtRow, DoubtRow.settled_by, only), doubt_of),
        "walks": _grouped(_walks(db, only, known, site, now), walk_of),
    }
    measured, changes = _measured(db, found["walks"], known), _changes(db, only)
    return {
        unit.number: Facts(
            ground=Ground(known, site, unit.machine, measured.get(unit.number, {})),
            meter=Meter(tuple(changes.get(unit.number, ())), unit.standing),
            **{name: tuple(by_unit.get(unit.number, ())) for name, by_unit in found.items()},
        )
        for unit in units
    }


def facts_at(db: Session, unit: UnitRow, at: int) -> Facts:
    """Return the facts of a unit out of the entries that had been received by an instant."""
    reader, site = entries.reader(db), settings.site_rules(db)
    rows = [r for r in entries.of_unit(db, unit.number) if instant.parse(r.received_at) <= at]
    gathered = rules.gather(
        map(reader.entry, rows), reader.lists, machines_of(db, unit), limit_of(db, unit.number)
    )
    return rules.facts(gathered, reader.lists, site, unit.machine, unit.hours)


def _grouped(rows: Sequence[Any], made: Any) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = defaultdict(list)
    for row in rows:
        found[row.unit].append(made(row))
    return found


def _here(db: Session, table: Any, only: Sequence[str] | None) -> Any:
    query = select(table).where(table.site == site_of(db))
    return query if only is None else query.where(table.unit.in_(only))


def _defects(db: Session, only: Sequence[str] | None, site: SiteRules) -> list[DefectRow]:
    """Return what stands, and the repairs that may still want a second look."""
    query = _here(db, DefectRow, only).order_by(DefectRow.made_at, DefectRow.id)
    standing = list(db.scalars(query.where(DefectRow.state == "standing")))
    if site.second_look_since is not None:
        since = DefectRow.asked_at >= site.second_look_since
        standing += db.scalars(query.where(DefectRow.state == "look", since))
    return standing


def _standing(db: Session, table: Any, end: Any, only: Sequence[str] | None) -> list[Any]:
    return list(
        db.scalars(_here(db, table, only).where(end.is_(None)).order_by(table.made_at, table.id))
    )


def _walks(
    db: Session, only: Sequence[str] | None, known: Lists, site: SiteRules, now: int
) -> list[WalkRow]:
    """Return the walks that may be for the present shift or still be valid by their own length."""
    shift = site.roster.at(now)
    longest = max((v.checklist.valid_for or 0 for v in known.versions), default=0)
    since = min(now - longest, shift.start - site.early(shift.start) if shift else now)
    query = _here(db, WalkRow, only)
    found = list(db.scalars(query.where(WalkRow.made_at >= since)))
    if shift:  # apart, for with an *or* between them SQLite reads every walk there ever was
        found += db.scalars(query.where(WalkRow.for_shift == shift.start))
    return sorted(set(found), key=lambda walk: (walk.made_at, walk.entry))


def _measured(
    db: Session, walks: Mapping[str, list[Walk]], known: Lists
) -> dict[str, dict[str, tuple[int, ...]]]:
    """Return when the items that walks left out had been measured last before each walk."""
    lengths = [
        (item.name, item.measure.every)
        for version in known.versions
        for item in version.checklist.items
        if item.measure and item.measure.every
    ]
    seldom = {name for name, _ in lengths}
    left_out = [w for found in walks.values() for w in found if seldom & set(w.missing)]
    found: dict[str, dict[str, tuple[int, ...]]] = defaultdict(dict)
    if left_out:
        names = sorted(seldom & {name for walk in left_out for name in walk.missing})
        query = _last_measured(site_of(db), left_out, names, max(length for _, length in lengths))
        for unit, *instants in db.execute(query):
            for name, at in zip(names, instants, strict=True):
                found[unit][name] = (*found[unit].get(name, ()), *([] if at is None else [at]))
    return found


def _last_measured(
    site: str, walks: Sequence[Walk], names: Sequence[str], longest: int
) -> Select[Any]:
    """Ask for the unit of each walk, and when each item had been measured last before it.

    Item by item: asked for in one join, PostgreSQL reads every measurement there ever was.
    """
    walk, row = WalkRow, MeasureRow
    before = row.made_at.between(walk.started_at - longest, walk.started_at)
    last = select(func.max(row.made_at)).where(row.site == walk.site, row.unit == walk.unit, before)
    lasts = [last.where(row.item == name, row.counts).scalar_subquery() for name in names]
    query = select(walk.unit, *lasts).where(walk.entry.in_([one.entry for one in walks]))
    since = min(one.made_at for one in walks)
    return query.where(walk.site == site, walk.made_at >= since)


def _changes(db: Session, only: Sequence[str] | None) -> dict[str, list[MeterChange]]:
    row = MeterChangeRow
    query = _here(db, row, only).where(row.counts).order_by(row.made_at, row.entry)
    return _grouped(list(db.scalars(query)), lambda one: MeterChange(one.made_at, one.old, one.new))
