"""Entries of the logbook in words, kind by kind."""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from flask import g

from walkaround.rules import body as said
from walkaround.rules import instant
from walkaround.rules.answer import Failure, failures
from walkaround.rules.body import Body
from walkaround.rules.checklist import Item
from walkaround.rules.entry import Doubt, Entry
from walkaround.rules.facts import names
from walkaround.rules.lists import Lists
from walkaround.rules.refusal import N_
from walkaround.rules.words import say as say_text
from walkaround.store import defects, entries
from walkaround.store.lists import lists
from walkaround.store.models import DefectRow
from walkaround.web import reasons
from walkaround.web.language import say, say_number
from walkaround.web.lines import who
from walkaround.web.moments import moment, number, time
from walkaround.web.whys import why

TITLES = {
    "walkaround": N_("Walk-around"),
    "defect": N_("Defect reported"),
    "clear": N_("Defects cleared"),
    "defer": N_("Defects deferred"),
    "hold": N_("Hold"),
    "release": N_("Release"),
    "hours": N_("Hour-meter reading"),
    "meter_change": N_("New hour meter"),
    "service": N_("Service"),
    "fill": N_("Fill"),
    "lay_up": N_("Laid up"),
    "return": N_("Returned to the fleet"),
    "correction": N_("Correction"),
    "confirm": N_("Confirmation"),
    "settle": N_("Doubt settled"),
    "doubt": N_("Doubt"),
    "label": N_("Label replaced"),
}
FLUIDS = {
    "diesel": N_("Diesel"),
    "def": N_("Diesel exhaust fluid"),
    "engine_oil": N_("Engine oil"),
    "coolant": N_("Coolant"),
    "hydraulic_oil": N_("Hydraulic oil"),
    "transmission_oil": N_("Transmission oil"),
    "grease": N_("Grease"),
}
INTERVALS = {
    "h": (N_("%(number)s h"), N_("%(number)s h")),
    "day": (N_("1 day"), N_("%(number)s days")),
    "week": (N_("1 week"), N_("%(number)s weeks")),
    "month": (N_("1 month"), N_("%(number)s months")),
    "year": (N_("1 year"), N_("%(number)s years")),
}


@dataclass(frozen=True)
class Known:
    """What entries speak of, looked up once for a whole page."""

    lists: Lists
    places: Mapping[str, str]  # of each entry named: its number, with its unit if that is another
    defects: Mapping[str, str]  # of each defect named: what failed

    def place(self, id: str) -> str:
        """Return where an entry stands."""
        return self.places.get(id, say("an entry that is not here"))

    def failed(self, ids: Iterable[str]) -> str:
        """Return what some defects are about."""
        found = (self.defects.get(id, say("a defect that is not here yet")) for id in ids)
        return "; ".join(dict.fromkeys(found))


def known(unit: str, bodies: Iterable[Body]) -> Known:
    """Look up what entries of one unit speak of."""
    ids = {id for body in bodies for id in names(Entry("", "", unit, 0, body))}
    rows = entries.named(g.db, ids)
    places = {
        row.id: say("No. %(number)s", number=row.seq)
        if row.unit == unit
        else say("No. %(number)s of %(unit)s", number=row.seq, unit=row.unit)
        for row in rows
    }
    versions = lists(g.db)
    found = defects.named(g.db, unit, ids)
    return Known(versions, places, {row.id: _title(row, versions) for row in found})


def title(kind: str | None) -> str:
    """Return what a kind of entry is called."""
    return say(TITLES[kind]) if kind in TITLES else say("Entry of an unknown kind")


def lines(made: Body, about: Known) -> list[str]:
    """Return what an entry says, each thing on a line of its own."""
    write = _WORDS.get(type(made))
    return [line for line in write(made, about) if line] if write else []


def _walkaround(made: said.Walkaround, about: Known) -> list[str]:
    checklist = about.lists.find(made.checklist, made.version)
    failed = failures(made, checklist)
    item = checklist.item if checklist else _no_item
    called = say_text(checklist.title, g.language) if checklist else made.checklist
    return [
        called,
        say_number("1 answer", "%(number)s answers", len(made.answers))
        + ", "
        + say_number("1 failed", "%(number)s failed", len(failed)),
        *(_failure(one, item(one.item or "")) for one in failed),
        *(_answer(one, item(one.item)) for one in made.answers),
        _hours(made.hours, insisted=made.insisted),
        _when(made),
        say("Second look after %(places)s", places=", ".join(map(about.place, made.looked_again)))
        if made.looked_again
        else "",
        say("Entered for %(who)s", who=who(made.entered_for)) if made.entered_for else "",
    ]


def _no_item(_name: str) -> Item | None:
    return None


def _failure(failure: Failure, item: Item | None) -> str:
    called = say_text(item.look, g.language) if item else failure.item
    found = reasons.words(failure, item, g.language)
    return f"{called}: {found}" if found else str(called)


def _answer(one: said.Answer, item: Item | None) -> str:
    """Return what else a reader of the logbook wants to know: what was left out, and remarks."""
    called, note = say_text(item.look, g.language) if item else one.item, one.note or ""
    if one.answer == "could_not_check":
        return say("Could not check: %(item)s. %(note)s", item=called, note=note).strip()
    if one.answer == "in_order" and note:
        return say("Remark on %(item)s: %(note)s", item=called, note=note)
    return ""


def _when(made: said.Walkaround) -> str:
    start, end = instant.parse(made.started_at), instant.parse(made.finished_at)
    walked = say("Walked from %(start)s to %(end)s", start=time(start), end=time(end))
    if made.for_shift is None:
        return walked
    return (
        walked + ", " + say("for the shift %(start)s", start=moment(instant.parse(made.for_shift)))
    )


def _hours(hours: float | None, *, insisted: bool = False) -> str:
    if hours is None:
        return ""
    sentence = N_("Hour meter: %(hours)s h")
    if insisted:
        sentence = N_("Hour meter: %(hours)s h (insisted on, so doubtful)")
    return say(sentence, hours=number(hours))


def _defect(made: said.Defect, _about: Known) -> list[str]:
    return [made.what, *made.findings, say("It can kill.") if made.critical else ""]


def _clear(made: said.Clear, about: Known) -> list[str]:
    done = say("Repaired") if made.outcome == "repaired" else say("No fault found")
    return [
        f"{done}: {about.failed(made.defects)}",
        made.work,
        say("Parts: %(parts)s", parts=made.parts) if made.parts else "",
        _hours(made.hours),
    ]


def _defer(made: said.Defer, about: Known) -> list[str]:
    until = moment(instant.parse(made.until))
    ends = say("Until %(until)s", until=until)
    if made.until_hours is not None:
        hours = number(made.until_hours)
        ends = say("Until %(until)s or %(hours)s h", until=until, hours=hours)
    return [about.failed(made.defects), made.restrictions, ends]


def _meter_change(made: said.MeterChange, _about: Known) -> list[str]:
    old, new = number(made.old), number(made.new)
    return [say("From %(old)s h to %(new)s h", old=old, new=new), made.note]


def _service(made: said.Service, _about: Known) -> list[str]:
    count, _, unit = made.interval.partition(" ")
    one, many = INTERVALS[unit.removesuffix("s")]
    return [say_number(one, many, int(count)), made.work, _hours(made.hours)]


def _fill(made: said.Fill, _about: Known) -> list[str]:
    litres = number(made.litres)
    blend = made.biodiesel_percent
    return [
        say("%(fluid)s, %(litres)s l", fluid=say(FLUIDS[made.fluid]), litres=litres),
        say("To full") if made.to_full else "",
        "" if blend is None else say("Biodiesel: %(percent)s %%", percent=number(blend)),
        _hours(made.hours, insisted=made.insisted),
    ]


def _correction(made: said.Correction, about: Known) -> list[str]:
    taken = say("Withdraws what it covers, or the number that it states.")
    place = say("About %(place)s", place=about.place(made.entry))
    return [place, made.what, taken if made.withdraws else ""]


def _doubt(made: Doubt, about: Known) -> list[str]:
    return [say("About %(place)s", place=about.place(made.about)), why(made.why)]


_WORDS: dict[type[Body], Callable[[Any, Known], list[str]]] = {
    said.Walkaround: _walkaround,
    said.Defect: _defect,
    said.Clear: _clear,
    said.Defer: _defer,
    said.Hold: lambda made, _about: [made.reason],
    said.LayUp: lambda made, _about: [made.reason],
    said.Release: lambda made, about: [
        say("Ends %(place)s", place=about.place(made.hold)),
        made.note,
    ],
    said.Return: lambda made, about: [
        say("Ends %(place)s", place=about.place(made.lay_up)),
        made.note,
    ],
    said.Hours: lambda made, _about: [_hours(made.value, insisted=made.insisted)],
    said.MeterChange: _meter_change,
    said.Service: _service,
    said.Fill: _fill,
    said.Correction: _correction,
    said.Confirm: lambda made, about: [say("Of %(place)s", place=about.place(made.entry))],
    said.Settle: lambda made, about: [
        say("About %(place)s", place=about.place(made.about)),
        made.note,
    ],
    Doubt: _doubt,
}


def _title(row: DefectRow, versions: Lists) -> str:
    """Return what a defect is about: its item, or the words of what was reported."""
    known_list = versions.find(row.checklist or "", row.version or "")
    item = known_list.item(row.item or "") if known_list else None
    words = json.loads(row.words)
    return say_text(item.look, g.language) if item else row.item or words.get("note") or ""
