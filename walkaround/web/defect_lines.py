"""Lines of defects as the mechanic reads them: findings, what came late, what was done before."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from flask import g, url_for

from walkaround.rules import instant
from walkaround.rules.body import Clear, Defer
from walkaround.rules.defect import DEFERRED, Defect
from walkaround.rules.entry import Entry
from walkaround.rules.late import BEFORE, Repair, late
from walkaround.rules.line import Line
from walkaround.rules.refusal import N_
from walkaround.store import defects, photos
from walkaround.store.defects import Heard, Times
from walkaround.store.models import RemarkRow
from walkaround.store.standings import Standing
from walkaround.web import moments, reasons
from walkaround.web.language import say, say_number
from walkaround.web.lines import LineWords, item_title, line_words, pictures_of, who

OUTCOMES = {"repaired": N_("Repaired"), "no_fault_found": N_("No fault found")}


@dataclass(frozen=True)
class LineRow:
    """One line of the list."""

    unit: str
    words: LineWords
    deferred: bool
    times: str
    late: tuple[str, ...]
    address: str


@dataclass(frozen=True)
class Found:
    """One defect of a line: what was found, by whom and when, and what has to be said about it."""

    words: str
    by: str
    pictures: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Clearing:
    """A clear in words."""

    outcome: str
    by: str
    work: str
    sub: tuple[str, ...]
    pictures: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Deferring:
    """A deferral in words."""

    id: str
    restrictions: str
    by: str
    until: str
    withdrawn: bool
    own: bool  # the reader may withdraw it


def ranked(found: Iterable[Standing]) -> list[tuple[Standing, Line]]:
    """Return all lines, open ones first, of these what can kill, of these the oldest."""
    pairs = [(standing, line) for standing in found for line in standing.lines]
    return sorted(pairs, key=lambda p: (p[1].state == DEFERRED, not p[1].critical, p[1].since))


def rows_of(pairs: Sequence[tuple[Standing, Line]], now: int) -> list[LineRow]:
    """Return lines for the list."""
    places = {(s.unit.number, line.item) for s, line in pairs if line.item}
    times = defects.times(g.db, places, now)
    repairs = defects.repairs(g.db, places, now)
    heads = defects.heard(g.db, {d.entry for _, line in pairs for d in line.defects})
    made = []
    for standing, line in pairs:
        unit, place = standing.unit.number, (standing.unit.number, line.item or "")
        arrived = (late_words(d, heads, repairs.get(place, ())) for d in line.defects)
        made.append(
            LineRow(
                unit=unit,
                words=line_words(line, standing),
                deferred=line.state == DEFERRED,
                times=times_words(times.get(place, Times())) if line.item else "",
                late=tuple(dict.fromkeys(filter(None, arrived))),
                address=url_for("defects.show", unit=unit, id=line.defects[0].id),
            )
        )
    return made


def found_of(line: Line, standing: Standing) -> list[Found]:
    """Return each defect of a line, oldest first."""
    unit, now = standing.unit.number, standing.now
    place = (unit, line.item or "")
    repairs = defects.repairs(g.db, [place], now).get(place, ()) if line.item else ()
    heads = defects.heard(g.db, {d.entry for d in line.defects})
    here = photos.here(g.db, {name for d in line.defects for name in d.failure.photos})
    return [_found(d, standing, heads, repairs, here) for d in line.defects]


def times_words(times: Times) -> str:
    """Return how often an item failed before."""
    if not times.in_all:
        return say("Never failed and cleared here before.")
    if not times.lately:
        return say_number(
            "Failed once before, over 60 days ago.",
            "Failed %(number)s times before, all over 60 days ago.",
            times.in_all,
        )
    if times.lately == times.in_all:
        return say_number(
            "Failed once before, in the last 60 days.",
            "Failed %(number)s times before, all in the last 60 days.",
            times.in_all,
        )
    return say(
        "Failed %(number)s times before, %(lately)s of them in the last 60 days.",
        number=times.in_all,
        lately=times.lately,
    )


def late_words(defect: Defect, heads: Mapping[str, Heard], repairs: Iterable[Repair]) -> str:
    """Return how something found stands to an earlier repair of the same item."""
    head = heads.get(defect.entry)
    others = [repair for repair in repairs if repair.entry not in defect.ended]
    found = late(defect.made_at, head.seen if head else None, others)
    if found is None:
        return ""
    words = N_("Found again: %(who)s had cleared it, %(when)s.")
    if found.how == BEFORE:
        words = N_("Seen before the repair of %(when)s by %(who)s, but heard of after it.")
    by, when = who(found.repair.by), moments.moment(found.repair.made_at)
    return say(words, who=by, when=when)


def clearing(entry: Entry, found_at: int | None = None) -> Clearing:
    """Return a clear in words."""
    body = entry.body
    assert isinstance(body, Clear)
    here = photos.here(g.db, body.photos)
    alt = say("After the work")
    by, when = who(entry.by), moments.moment(entry.made_at)
    sub = [
        say("Found %(when)s", when=moments.moment(found_at)) if found_at is not None else "",
        say("Parts: %(parts)s", parts=body.parts) if body.parts else "",
        say("Hour meter: %(hours)s h", hours=moments.number(body.hours)) if body.hours else "",
    ]
    return Clearing(
        outcome=say(OUTCOMES[body.outcome]),
        by=f"{by}, {when}",
        work=body.work,
        sub=tuple(filter(None, sub)),
        pictures=pictures_of(body.photos, here, alt),
    )


def deferring(entry: Entry, withdrawn: frozenset[str]) -> Deferring:
    """Return a deferral in words."""
    body = entry.body
    assert isinstance(body, Defer)
    until = moments.moment(instant.parse(body.until))
    hours = moments.number(body.until_hours)
    return Deferring(
        id=entry.id,
        restrictions=body.restrictions,
        by=f"{who(entry.by)}, {moments.moment(entry.made_at)}",
        until=say("until %(until)s or %(hours)s h", until=until, hours=hours)
        if body.until_hours is not None
        else say("until %(until)s", until=until),
        withdrawn=entry.id in withdrawn,
        own=entry.by == g.person.crew_number or "supervisor" in g.person.roles,
    )


def remark_words(row: RemarkRow, standing: Standing) -> tuple[str, str, str]:
    """Return what a remark is about, its words, and who made it when."""
    about = item_title(standing, row.checklist, row.version, row.item)
    return about, row.note, f"{who(row.by)}, {moments.moment(row.made_at)}"


def _found(
    defect: Defect,
    standing: Standing,
    heads: Mapping[str, Heard],
    repairs: Iterable[Repair],
    here: set[str],
) -> Found:
    item, named = reasons.item_of(defect, standing), defect.failure.photos
    words = reasons.words(defect.failure, item, g.language) or say("Found to be bad.")
    head = heads.get(defect.entry)
    asked = item is not None and item.photo and not named
    notes = (
        late_words(defect, heads, repairs),
        say("Unconfirmed: it counts, but nobody has signed it with their PIN.")
        if head and not head.confirmed
        else "",
        say("A photo was asked for; there is none.") if asked else "",
        say("A photo is named that has not arrived here yet.") if set(named) - here else "",
    )
    return Found(
        words=words,
        by=f"{who(defect.by)}, {moments.moment(defect.made_at)}",
        pictures=pictures_of(named, here, words),
        notes=tuple(filter(None, notes)),
    )
