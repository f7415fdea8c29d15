"""Open the invented site in an empty database and fill its sixty days, ending now."""

import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from sqlalchemy import delete
from sqlalchemy.orm import Session

from walkaround.actions.add_person import add_person
from walkaround.actions.add_phone import add_phone
from walkaround.actions.add_unit import add_unit
from walkaround.actions.demo.agenda import Agenda
from walkaround.actions.demo.history import History
from walkaround.actions.demo.machine import Machine
from walkaround.actions.demo.maker import Maker
from walkaround.actions.demo.repairs import Repairs
from walkaround.actions.demo.script import Script
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.actions.open_site import SiteExists, open_site
from walkaround.actions.take_checklists import take_checklists
from walkaround.rules import instant
from walkaround.rules.shift import Shift
from walkaround.store import demo_site, phones, photos, settings, site
from walkaround.store.db import retried
from walkaround.store.keys import Keys
from walkaround.store.models.base import Base

FILLING, FULL = "filling", "on"  # the setting `demo`; a site of real people has none


@dataclass(frozen=True)
class Ground:
    """What the site is made from, and where its photos go."""

    keys: Keys
    store: photos.Store
    site: demo_site.DemoSite
    checklists: Path


def load_demo(db: Session, ground: Ground, now: int, tell: Callable[[str], None]) -> None:
    """Fill the site; raise SiteExists where there is one already, unless it was cut off here."""
    _make_room(db)
    maker = Maker(db, ground.store, ground.site, random.Random(ground.site.seed))
    beginning = now - (ground.site.days + 3) * instant.DAY
    open_site(db, ground.site.site, ground.site.zone, ground.site.shifts, beginning)
    _set(db, beginning, {"demo": FILLING, "call": ground.site.call})
    fleet = _settle(maker, ground, beginning)
    tell(f"{ground.site.site}: {len(ground.site.people)} people, {len(fleet)} units")
    _days(maker, fleet, now, tell)
    _hear(db, maker.phones, now)
    _set(db, now, {"demo": FULL})


def is_full(db: Session) -> bool:
    """Say whether this is the invented site, filled to its end."""
    return site.the_site(db) is not None and settings.value(db, "demo") == FULL


@retried
def _make_room(db: Session) -> None:
    """Empty what an earlier fill left half done; there is nothing of anybody's in it."""
    there = site.the_site(db)
    if there is None:
        return
    if settings.value(db, "demo") != FILLING:
        raise SiteExists(site=there)
    for table in reversed(Base.metadata.sorted_tables):
        db.execute(delete(table))
    db.commit()
    db.expunge_all()
    db.info["site"] = None


@retried
def _set(db: Session, since: int, values: dict[str, str]) -> None:
    for name, value in values.items():
        settings.put(db, name, value, since)
    db.commit()


@retried
def _hear(db: Session, ids: tuple[str, ...], now: int) -> None:
    """Note that the phones were heard from, as the pages would have done."""
    for id in ids:
        if row := phones.by_id(db, id):
            phones.mark_seen(row, now)
    db.commit()


def _settle(maker: Maker, ground: Ground, beginning: int) -> dict[str, Machine]:
    """Let people, phones, lists and units be there from the beginning."""
    for one in ground.site.people:
        known = one["crew_number"], one["name"], one["roles"], one["pin"]
        add_person(maker.db, ground.keys, *known, beginning, language=one.get("language"))
    take_checklists(maker.db, ground.checklists, beginning)
    names = ground.site.phones
    maker.phones = tuple(maker.id(beginning) for _ in names)
    for name, id in zip(names, maker.phones, strict=True):
        enrol_phone(maker.db, add_phone(maker.db, name, beginning, id=id), beginning)
    for unit in ground.site.units:
        title, hours = unit.get("title"), unit["hours"]
        add_unit(maker.db, unit["number"], unit["machine"], beginning, title=title, hours=hours)
    return {unit["number"]: Machine(unit, unit["hours"]) for unit in ground.site.units}


def _days(maker: Maker, fleet: dict[str, Machine], now: int, tell: Callable[[str], None]) -> None:
    """Play all days up to now."""
    rules, agenda = settings.site_rules(maker.db), Agenda()
    script = Script(maker, fleet, rules, now)
    script.put_on(agenda)
    history = History(maker, fleet, agenda, Repairs(maker, agenda, rules.roster))
    shift: Shift | None = rules.roster.next(script.days_before(maker.site.days) - 1)
    weeks = -(-maker.site.days // 7)
    for week in range(weeks):
        agenda.add(script.days_before(7 * week) - 1, partial(_tell, tell, weeks - week, weeks))
    while shift and shift.start < script.present.start:
        agenda.add(shift.start - instant.HOUR, partial(history.plan, shift))
        shift = rules.roster.next(shift.start)
    for machine in fleet.values():
        machine.failed_at = _habit_before(machine, script)
    agenda.run(now)


def _habit_before(machine: Machine, script: Script) -> int:
    """Return when a habit showed before all days, so that it shows again today."""
    days: int = machine.plan.get("habit", {"days": 60})["days"]
    return script.days_before(days * -(-60 // days))


def _tell(tell: Callable[[str], None], week: int, weeks: int, _now: int) -> None:
    tell(f"week {week} of {weeks}")
