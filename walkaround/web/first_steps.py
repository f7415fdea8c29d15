"""The first morning: what a supervisor does before anybody can walk round a unit."""

from collections.abc import Sequence
from dataclasses import dataclass

from flask import g

from walkaround.store import phones
from walkaround.store.standings import Standing
from walkaround.web.language import say, say_number


@dataclass(frozen=True)
class Step:
    """One thing to do, what is to know of it, how far it is, and where it is done."""

    title: str
    sub: str
    done: str
    page: str


def steps(found: Sequence[Standing], people: int) -> list[Step]:
    """Return what is to be done, in order; nothing once somebody has walked round a unit."""
    if any(one.last for one in found):
        return []
    enrolled = sum(phones.is_enrolled(one) for one in phones.all(g.db))
    units = say_number("1 unit", "%(number)s units", len(found))
    persons = say_number("1 person", "%(number)s people", people)
    devices = say_number("1 phone", "%(number)s phones", enrolled)
    painted = say("Each with the number that is painted on it")
    alone, scanned = say("PINs work on enrolled phones alone"), say("Scanned, they open their unit")
    return [
        Step(say("Add the units"), painted, units, "/fleet/new"),
        Step(say("Add the people"), say("Crew numbers, roles, PINs"), persons, "/people/new"),
        Step(say("Enrol their phones"), alone, devices, "/phones/new"),
        Step(say("Print the labels"), scanned, "", "/labels"),
    ]
