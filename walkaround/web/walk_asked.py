"""What a walk asks for: stations and items, with what stands about each of them."""

import json
from collections.abc import Callable
from dataclasses import dataclass

from flask import g

from walkaround.rules.checklist import Checklist, Item, Station
from walkaround.rules.coverage import is_due
from walkaround.rules.defect import DEFERRED, Defect, states
from walkaround.rules.words import say as say_text
from walkaround.store import entries, measures
from walkaround.store.standings import Standing
from walkaround.web.lines import LineWords, line_words, who
from walkaround.web.reasons import item_of
from walkaround.web.walk_given import Given


@dataclass(frozen=True)
class Look:
    """A repair of something critical that somebody else has to look at again."""

    clear: str
    by: str
    mine: bool
    work: str
    things: tuple[str, ...]
    items: tuple[str, ...]  # empty where the list does not ask for all of them


@dataclass(frozen=True)
class Ask:
    """One item as the page asks it."""

    item: Item
    number: int
    answers: tuple[str, ...]
    given: Given
    measured_at: int | None = None
    line: LineWords | None = None
    deferred: tuple[str, ...] = ()
    look: Look | None = None


@dataclass(frozen=True)
class Stop:
    """One station with what it asks for now."""

    station: Station
    asks: tuple[Ask, ...]
    starts_engine: bool  # the first one of the walk at which the engine runs, or runs again


def due_items(standing: Standing, checklist: Checklist, started_at: int) -> list[Item]:
    """Return the items that a walk which started then asks for."""
    measured = measures.last(g.db, standing.unit.number, checklist)
    return [
        item
        for item in checklist.items
        if is_due(_every(item), measured.get(item.name, ()), started_at)
    ]


def kept_stops(checklist: Checklist) -> list[Stop]:
    """Return all that a list may ask for on any unit; scripts take away what is not due there."""
    found, number, running = [], 0, False
    for station in checklist.stations:
        asks = []
        for item in station.items:
            number += 1
            worse = () if item.measure else ("no_worse",)
            asks.append(Ask(item, number, (*worse, *item.answers()), Given()))
        runs = station.engine == "running"
        found.append(Stop(station, tuple(asks), runs and not running))
        running = runs
    return found


def looks_of(standing: Standing, due: list[Item]) -> list[Look]:
    """Return the second looks that are due."""
    found = (r for r in standing.verdict.reasons if r.code == "second_look" and r.about)
    return [_look(standing, str(r.about), r.defects, {i.name for i in due}) for r in found]


def stops(
    standing: Standing,
    checklist: Checklist,
    started_at: int,
    given: Callable[[Item, tuple[str, ...]], Given],
) -> list[Stop]:
    """Return what is asked for, in walking order; `given` says what has been answered so far."""
    due = due_items(standing, checklist, started_at)
    measured = measures.last(g.db, standing.unit.number, checklist)
    looks = looks_of(standing, due)
    found, running = [], False
    for station in checklist.stations:
        asks = tuple(
            _ask(item, due.index(item) + 1, standing, looks, given, measured.get(item.name, ()))
            for item in station.items
            if item in due
        )
        if asks:
            runs = station.engine == "running"
            found.append(Stop(station, asks, runs and not running))
            running = runs
    return found


def _ask(
    item: Item,
    number: int,
    standing: Standing,
    looks: list[Look],
    given: Callable[[Item, tuple[str, ...]], Given],
    measured: tuple[int, ...],
) -> Ask:
    line = next((one for one in standing.lines if one.item == item.name), None)
    state = states(standing.facts.defects, standing.now, standing.facts.meter)
    deferred = tuple(d.id for d in line.defects if state[d.id] == DEFERRED) if line else ()
    answers = item.answers()
    if deferred and not item.measure:
        answers = ("no_worse", *answers)
    return Ask(
        item=item,
        number=number,
        answers=answers,
        given=given(item, answers),
        measured_at=max(measured, default=None),
        line=line_words(line, standing) if line else None,
        deferred=deferred,
        look=next((look for look in looks if item.name in look.items), None),
    )


def _look(standing: Standing, clear: str, ids: tuple[str, ...], due: set[str]) -> Look:
    row = entries.find(g.db, clear)
    defects = [defect for defect in standing.facts.defects if defect.id in ids]
    items = tuple(dict.fromkeys(d.failure.item or "" for d in defects))
    return Look(
        clear=clear,
        by=who(row.by if row else None),
        mine=row is not None and row.by == g.person.crew_number,
        work=json.loads(row.body).get("work", "") if row else "",
        things=tuple(dict.fromkeys(_thing(defect, standing) for defect in defects)),
        items=items if set(items) <= due else (),
    )


def _thing(defect: Defect, standing: Standing) -> str:
    item = item_of(defect, standing)
    return say_text(item.look, g.language) if item else defect.failure.note or ""


def _every(item: Item) -> int | None:
    return item.measure.every if item.measure else None
