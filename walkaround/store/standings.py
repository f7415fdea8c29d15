"""How units stand now: facts, verdict, lines of defects, who walked last."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules.coverage import DOUBTFUL, FULL, Walk, shift_of
from walkaround.rules.line import Line, lines
from walkaround.rules.verdict import Facts, Verdict, verdict
from walkaround.store import units
from walkaround.store.db import site_of
from walkaround.store.fact_rows import walk_of
from walkaround.store.models import UnitRow, WalkRow
from walkaround.store.verdicts import facts_at, facts_of


@dataclass(frozen=True)
class Standing:
    """One unit as of an instant."""

    unit: UnitRow
    now: int
    facts: Facts
    verdict: Verdict
    lines: tuple[Line, ...]
    last: Walk | None

    @property
    def hours(self) -> float | None:
        """Return what the hour meter shows."""
        return self.facts.meter.standing

    def shift_start(self, walk: Walk) -> int | None:
        """Return the start of the shift that a walk is for."""
        shift = shift_of(walk, self.facts.ground.site)
        return shift.start if shift else None


def every(db: Session, now: int) -> list[Standing]:
    """Return how all units stand, by number."""
    return standings(db, units.every(db), now)


def of(db: Session, unit: UnitRow, now: int) -> Standing:
    """Return how one unit stands."""
    return standings(db, [unit], now)[0]


def at(db: Session, unit: UnitRow, instant: int) -> Standing:
    """Return how a unit stood by the entries received by an instant, or will stand by today's."""
    facts = facts_at(db, unit, instant)
    walks = [walk for walk in facts.walks if walk.standing in (FULL, DOUBTFUL)]
    return _standing(unit, instant, facts, walks[-1] if walks else None)


def standings(db: Session, wanted: Sequence[UnitRow], now: int) -> list[Standing]:
    """Return how these units stand."""
    facts = facts_of(db, wanted, now)
    walks = {walk.entry: walk for one in facts.values() for walk in one.walks}
    if earlier := [u.last_walk for u in wanted if u.last_walk and u.last_walk not in walks]:
        query = select(WalkRow).where(WalkRow.site == site_of(db), WalkRow.entry.in_(earlier))
        walks.update({row.entry: walk_of(row) for row in db.scalars(query)})
    return [_standing(u, now, facts[u.number], walks.get(u.last_walk or "")) for u in wanted]


def _standing(unit: UnitRow, now: int, facts: Facts, last: Walk | None) -> Standing:
    return Standing(
        unit=unit,
        now=now,
        facts=facts,
        verdict=verdict(facts, now),
        lines=tuple(lines(facts.defects, now, facts.meter)),
        last=last,
    )
