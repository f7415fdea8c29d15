"""Verdicts of units: their facts out of rows, or out of the entries of a past instant."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from walkaround.rules import facts as rules
from walkaround.rules import instant
from walkaround.rules.coverage import Ground
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
    measured, changes = _measured(db, only, found["walks"], known), _changes(db, only)
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
    recent = WalkRow.made_at >= since
    query = _here(db, WalkRow, only).order_by(WalkRow.made_at, WalkRow.entry)
    return list(
        db.scalars(query.where(or_(recent, WalkRow.for_shift == shift.start) if shift else recent))
    )


def _measured(
    db: Session, only: Sequence[str] | None, walks: Mapping[str, list[Any]], known: Lists
) -> dict[str, dict[str, tuple[int, ...]]]:
    """Return when the items that walks left out were measured last, as far back as it matters."""
    every = [
        (item.name, item.measure.every)
        for version in known.versions
        for item in version.checklist.items
        if item.measure and item.measure.every
    ]
    names = {name for name, _ in every}
    left_out = [w for found in walks.values() for w in found if names & set(w.missing)]
    if not left_out:
        return {}
    since = min(walk.started_at for walk in left_out) - max(length for _, length in every)
    query = _here(db, MeasureRow, only).where(MeasureRow.item.in_(names), MeasureRow.counts)
    found: dict[str, dict[str, tuple[int, ...]]] = defaultdict(dict)
    for row in db.scalars(query.where(MeasureRow.made_at > since)):
        found[row.unit][row.item] = (*found[row.unit].get(row.item, ()), row.made_at)
    return found


def _changes(db: Session, only: Sequence[str] | None) -> dict[str, list[MeterChange]]:
    row = MeterChangeRow
    query = _here(db, row, only).where(row.counts).order_by(row.made_at, row.entry)
    return _grouped(list(db.scalars(query)), lambda one: MeterChange(one.made_at, one.old, one.new))
