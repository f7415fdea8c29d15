"""Add a unit to the fleet."""

import re

from sqlalchemy.orm import Session

from walkaround.rules.refusal import N_, Refusal
from walkaround.store import labels, settings, units
from walkaround.store.db import retried, site_of
from walkaround.store.logbook import NOTHING_BEFORE
from walkaround.store.models import UnitRow

_NUMBER = re.compile(r"(?=.{1,16}$)[\w.-]+( [\w.-]+)*")


class BadUnit(Refusal):
    """What is said of a unit is not taken; its subclasses say why."""


class BadNumber(BadUnit):
    sentence = N_("'%(number)s' is no unit number: letters, digits, dots, hyphens, at most 16.")


class BadMachine(BadUnit):
    sentence = N_("A unit needs a machine, like wheel loader, and hours that are not below zero.")


class UnitTaken(BadUnit):
    sentence = N_("There is a unit %(number)s already.")


class NoSuchUnit(BadUnit):
    sentence = N_("There is no unit %(number)s here.")


@retried
def add_unit(
    db: Session,
    number: str,
    machine: str,
    now: int,
    *,
    title: str | None = None,
    hours: float | None = None,
    biodiesel_limit: float | None = None,
) -> UnitRow:
    """Return the new unit, with a label of its own; raise BadUnit."""
    number, machine = number.strip(), " ".join(machine.split())
    _check(db, number, machine, hours)
    name = (title or machine[:1].upper() + machine[1:]).strip()[:80]
    unit = UnitRow(site=site_of(db), number=number, title=name, machine=machine, hours=hours)
    unit.made_at, unit.seq, unit.hash = now, 0, NOTHING_BEFORE
    unit.standing, unit.last_walk = hours, None
    db.add(unit)
    db.flush()
    if biodiesel_limit is not None:
        settings.put(db, "biodiesel_limit", str(biodiesel_limit), now, about=number)
    labels.make(db, number, now)
    db.commit()
    return unit


def _check(db: Session, number: str, machine: str, hours: float | None) -> None:
    if not _NUMBER.fullmatch(number):
        raise BadNumber(number=number)
    if not machine or (hours is not None and hours < 0):
        raise BadMachine
    if units.find(db, number):
        raise UnitTaken(number=number)
