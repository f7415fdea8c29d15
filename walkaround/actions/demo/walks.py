"""Walk-arounds of the invented site: every item that is due gets an answer."""

import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from walkaround.actions.demo.machine import Machine
from walkaround.actions.demo.maker import Maker, NotAsPlanned
from walkaround.actions.enter import Result
from walkaround.rules import instant
from walkaround.rules.checklist import Checklist, Item
from walkaround.rules.coverage import is_due
from walkaround.store import checklists, measures

START, END = "start_of_shift", "end_of_shift"


@dataclass(frozen=True)
class Round:
    """One walk: who, for which shift, how many minutes, and what is not as usual."""

    by: str
    shift: int
    minutes: float
    answers: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    occasion: str = START
    signed: bool = True


def walk(maker: Maker, machine: Machine, made: Round, now: int) -> Result:
    """Hand in a walk that ends now."""
    found = checklist(maker, machine, made.occasion)
    started_at = now - int(made.minutes * instant.MINUTE)
    known = measures.last(maker.db, machine.number, found)
    due = [
        item
        for item in found.items
        if item.name in made.answers
        or is_due(
            item.measure.every if item.measure else None, known.get(item.name, ()), started_at
        )
    ]
    body = {
        "checklist": found.name,
        "version": found.version,
        "started_at": instant.text(started_at),
        "finished_at": instant.text(now),
        "for_shift": instant.text(made.shift),
        "hours": machine.reading,
        "answers": [_answer(maker, machine, item, made, now) for item in due],
    }
    return maker.put("walkaround", machine.number, body, made.by, now, signed=made.signed)


def checklist(maker: Maker, machine: Machine, occasion: str = START) -> Checklist:
    """Return the list in force for a unit."""
    found = checklists.in_force(maker.db, machine.kind, occasion)
    if found is None:
        raise NotAsPlanned(f"there is no list for {machine.kind}, {occasion}")
    return found


def _answer(maker: Maker, machine: Machine, item: Item, made: Round, now: int) -> dict[str, Any]:
    given = dict(made.answers.get(item.name) or _usual(maker, machine, item))
    if item.name in machine.carried and item.measure is None and item.name not in made.answers:
        given = {"answer": "no_worse"}
    if "note" in given:
        given["note"] = maker.words(given["note"], made.by)
    if "photo" in given:
        given["photos"] = [maker.photo(given.pop("photo"), made.by, now)]
    if given.get("answer") == "no_worse":
        given["than"] = maker.standing(machine.number, item.name)
    return {"item": item.name, **given}


def _usual(maker: Maker, machine: Machine, item: Item) -> dict[str, Any]:
    if item.name in machine.plan.get("without", ()):
        return {"answer": "not_fitted"}
    if item.measure is None:
        return {"answer": "in_order"}
    if item.measure.unit == "%":
        return {"value": 5 * maker.chance.randrange(6, 20)}
    low, high = item.measure.low or 0, item.measure.high or 100
    place = 40 + zlib.crc32(f"{machine.number}{item.name}".encode()) % 25  # of 100 between both
    return {"value": round(low + (high - low) * (place + maker.chance.randrange(-6, 7)) / 100, 1)}
