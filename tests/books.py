"""Entries as the rules take them, and what follows from them, without any database."""

import itertools
import uuid
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from tests import make
from walkaround.rules import body, facts, instant
from walkaround.rules.checklist import Checklist
from walkaround.rules.entry import OTHER_CONTENT, Doubt, Entry
from walkaround.rules.facts import Gathered
from walkaround.rules.lists import Lists, Version
from walkaround.rules.setting import SiteRules
from walkaround.rules.shift import Roster
from walkaround.rules.verdict import Facts, Verdict, verdict
from walkaround.store import bodies
from walkaround.store.checklists_yaml import read_folder

OLGA, MILAN, SARA = "101", "201", "301"
ROLES = {OLGA: ("operator",), MILAN: ("mechanic",), SARA: ("supervisor",)}
USUAL = {
    **dict.fromkeys(("clear", "defer", "service"), MILAN),
    **dict.fromkeys(("hold", "release", "lay_up", "return", "meter_change", "settle"), SARA),
}
CHECKLISTS = [document.checklist for document in read_folder(make.LISTS).documents]
LISTS = Lists(Version(checklist, 0) for checklist in CHECKLISTS)
START = next(checklist for checklist in CHECKLISTS if checklist.name == "loader-start")
SITE = SiteRules(Roster.of([(0, "Europe/Madrid", "06:00,14:00,22:00")]))
KINDS = {shape: kind for kind, shape in body.KINDS.items()}

_numbers = itertools.count(1)


def entry(kind: str, plain: dict[str, Any], minutes: float = 10, **more: Any) -> Entry:
    """Return an entry of whoever usually makes that kind, confirmed unless said otherwise."""
    by = more.pop("by", USUAL.get(kind, OLGA))
    id = more.pop("id", None) or str(uuid.UUID(int=next(_numbers)))
    made_at = make.at(minutes)
    made = Entry(id, kind, "L07", made_at, bodies.read(kind, plain), by, ROLES.get(by, ()))
    return replace(made, **{"received_at": made_at, **more})


def walk(minutes: float = 10, *, more: dict[str, Any] | None = None, **given: Any) -> Entry:
    """Return a walk-around; what is given are members of an entry, and answers."""
    known = ("by", "id", "confirmed", "trouble", "received_at", "skew", "unit")
    beside = {name: given.pop(name) for name in known if name in given}
    return entry("walkaround", make.walkaround(minutes, more=more, **given), minutes, **beside)


def no_worse(
    item: str, *than: str, minutes: float = 20, given: Any = "no_worse", **more: Any
) -> Entry:
    """Return a walk-around on which an item is said to be no worse than deferred defects."""
    body = make.walkaround(minutes, **{item: None})
    body["answers"].append(make.answer(item, given, than=list(than)))
    return entry("walkaround", body, minutes, **more)


def defect_id(entry: Entry, item: str) -> str:
    """Return the id of the defect that an item of a walk-around adds (design, section 3)."""
    return str(uuid.uuid5(uuid.UUID(entry.id), item))


def clear(*defects: str, minutes: float = 15, **more: Any) -> Entry:
    """Return a repair."""
    plain = {"defects": list(defects), "outcome": "repaired", "work": "made good"}
    return entry("clear", plain, minutes, **more)


def defer(
    *defects: str, until: float = 300, hours: float | None = None, minutes: float = 15, **more: Any
) -> Entry:
    """Return a deferral until so many minutes after the first shift has started."""
    plain = {
        "defects": list(defects),
        "restrictions": "slowly",
        "until": instant.text(make.at(until)),
    }
    return entry("defer", {**plain, "until_hours": hours}, minutes, **more)


def doubt(about: Entry, other: Entry | None = None, minutes: float = 20) -> Entry:
    """Return the server's doubt about an entry, with the content that contradicts it."""
    why = OTHER_CONTENT if other else "could not be read"
    id = str(uuid.UUID(int=next(_numbers)))
    return Entry(id, "doubt", "L07", make.at(minutes), Doubt(about.id, why, other))


def confirm(of: Entry, **more: Any) -> Entry:
    """Return the word of whoever made an entry that it is theirs."""
    return entry("confirm", {"entry": of.id}, 20, **more)


def withdraw(of: Entry, **more: Any) -> Entry:
    """Return a correction that takes an entry back."""
    return entry(
        "correction", {"entry": of.id, "what": "wrong unit", "withdraws": True}, 20, **more
    )


def settle(about: Entry, **more: Any) -> Entry:
    """Return a supervisor's word on doubts."""
    return entry("settle", {"about": about.id, "note": "looked into"}, 25, **more)


def gathered(
    entries: Iterable[Entry], lists: Lists = LISTS, machine: str = "wheel loader", limit: Any = None
) -> Gathered:
    """Return what follows from some entries."""
    return facts.gather(entries, lists, (machine,), limit or (lambda instant: None))


def facts_of(
    entries: Iterable[Entry],
    lists: Lists = LISTS,
    site: SiteRules = SITE,
    machine: str = "wheel loader",
) -> Facts:
    """Return the facts of a unit whose hour meter showed 84 when it came."""
    return facts.facts(gathered(entries, lists, machine), lists, site, machine, 84)


def judge(entries: Iterable[Entry], minutes: float = 30, **ground: Any) -> Verdict:
    """Return the verdict so many minutes after the first shift has started."""
    return verdict(facts_of(entries, **ground), make.at(minutes))


def codes(entries: Iterable[Entry], minutes: float = 30, **ground: Any) -> list[str]:
    """Return the codes of all reasons that hold."""
    return [reason.code for reason in judge(entries, minutes, **ground).reasons]


def changed(
    name: str = "loader-start", version: str = "2" * 64, **items: dict[str, Any]
) -> Checklist:
    """Return another version of a list, some of its items changed."""
    found = next(checklist for checklist in CHECKLISTS if checklist.name == name)
    stations = tuple(
        replace(s, items=tuple(replace(i, **items.get(i.name, {})) for i in s.items))
        for s in found.stations
    )
    return replace(found, version=version, stations=stations)
