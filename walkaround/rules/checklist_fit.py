"""What must fit together in a checklist document whose single values are right."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from walkaround.rules.checklist_error import ChecklistError, Path

Placed = list[tuple[Path, dict[str, Any]]]


def misfits(plain: dict[str, Any]) -> Iterator[ChecklistError]:
    """Yield what contradicts itself: repeated names, the order of the engine, limits."""
    stations = _entries((), "stations", plain)
    items = [entry for path, station in stations for entry in _entries(path, "items", station)]
    yield from _repeated("station", stations)
    yield from _repeated("item", items)
    yield from _engine_order(plain.get("occasion"), stations)
    for path, item in items:
        yield from _item_misfits(path, item)


def _entries(path: Path, key: str, holder: dict[str, Any]) -> Placed:
    entries = holder.get(key) or []
    return [((*path, key, n), entry) for n, entry in enumerate(entries) if entry]


def _repeated(key: str, placed: Placed) -> Iterator[ChecklistError]:
    seen: dict[str, Path] = {}
    for path, entry in placed:
        name = entry.get(key)
        if name in seen:
            sentence = f"the {key} {name} stands twice in this list; give one of them another name"
            yield ChecklistError((*path, key), sentence, first=(*seen[name], key))
        elif name:
            seen[name] = path


def _engine_order(occasion: object, stations: Placed) -> Iterator[ChecklistError]:
    """Start: look first, then run. End: park, then shut down for good. Else as the work asks."""
    states = [(path, entry.get("engine")) for path, entry in stations]
    running = [n for n, (_, state) in enumerate(states) if state == "running"]
    if not running or occasion not in {"start_of_shift", "end_of_shift"}:
        return
    for n, (path, state) in enumerate(states):
        if occasion == "start_of_shift" and state == "stopped" and n > running[0]:
            sentence = "a station with the engine stopped comes before those with it running"
            yield ChecklistError((*path, "engine"), f"{sentence}; move it up")
    if occasion == "end_of_shift":
        yield from _end_of_shift(states, running)


def _end_of_shift(states: list[tuple[Path, Any]], running: list[int]) -> Iterator[ChecklistError]:
    for before, now in pairwise(running):
        if now != before + 1:
            sentence = "at the end of a shift the engine is not started a second time"
            yield ChecklistError((*states[now][0], "engine"), f"{sentence}; move this station up")
    if running[-1] == len(states) - 1:
        sentence = "an end_of_shift list ends with the engine stopped; add a station to shut down"
        yield ChecklistError((*states[-1][0], "engine"), sentence)


def _item_misfits(path: Path, item: dict[str, Any]) -> Iterator[ChecklistError]:
    if "measure" not in item and "good" not in item:
        sentence = "an item lacks the key 'good'; write what eye, hand or gauge must find"
        yield ChecklistError(path, sentence)
    measure = item.get("measure") or {}
    low, high = measure.get("low"), measure.get("high")
    if low is not None and high is not None and low > high:
        sentence = f"low ({low}) is above high ({high}); exchange them"
        yield ChecklistError((*path, "measure", "low"), sentence)
