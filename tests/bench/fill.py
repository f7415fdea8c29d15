"""Fills a site with units and their histories, by the program's own functions, without the door."""

import random
from collections.abc import Iterable
from itertools import chain

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from tests.bench import history
from tests.bench.history import LATEST, History
from tests.people import some_keys
from walkaround import places
from walkaround.actions.add_person import add_person
from walkaround.actions.add_unit import add_unit
from walkaround.actions.open_site import open_site
from walkaround.actions.take_checklists import take_checklists
from walkaround.rules import instant
from walkaround.rules.shift import Shift
from walkaround.store import facts, logbook, schema, settings
from walkaround.store.db import make_session

SITE = "Gravel pit"
SEED = 20261125


def fill(engine: Engine, *, units: int, shifts: int, now: int) -> int:
    """Fill an empty database; return how many walk-arounds there are: one a unit and shift.

    However many shifts there are, the last of them are the same, and so is what stands now.
    """
    schema.upgrade(engine)
    with make_session(engine) as db:
        _open(db, now - 400 * instant.DAY)
        calendar = _calendar(db, shifts, now)
        for number in range(1, units + 1):
            _fill_unit(db, f"L{number:03}", calendar)
    return units * shifts


def _open(db: Session, then: int) -> None:
    open_site(db, SITE, "Europe/Madrid", "06:00,14:00,22:00", then)
    take_checklists(db, places.checklists(), then)
    for number in (*history.OPERATORS, history.MECHANIC, history.SUPERVISOR):
        roles = history.ROLES.get(number, ("operator",))
        add_person(db, some_keys(), number, f"Person {number}", list(roles), "4821", then)


def _calendar(db: Session, count: int, now: int) -> list[Shift]:
    """Return the latest shifts, the present one last."""
    roster, found = settings.site_rules(db).roster, []
    while len(found) < count:
        shift = roster.at(found[0].start - 1 if found else now)
        assert shift is not None
        found.insert(0, shift)
    return found


def _fill_unit(db: Session, number: str, calendar: list[Shift]) -> None:
    unit = add_unit(db, number, "wheel loader", calendar[0].start - instant.DAY, hours=80)
    past = History(number, random.Random(f"{SEED} {number}"))
    present = History(number, random.Random(f"{SEED} {number} now"), hours=10_000)
    earlier, latest = calendar[:-LATEST], calendar[-LATEST:]
    drafts: Iterable[tuple[logbook.Draft, int]] = chain(
        *(past.shift(s, weekly=not place % 21) for place, s in enumerate(earlier)),
        past.close(latest[0].start - instant.HOUR),
        present.latest(latest),
    )
    rows = [logbook.chain(draft, unit, at) for draft, at in drafts]
    db.add_all(rows)
    db.flush()
    facts.project_all(db, unit, rows)
    db.commit()
    db.expunge_all()
