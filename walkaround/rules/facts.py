"""What follows from a unit's entries: every fact that the verdict and the pages rest on."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from walkaround.rules import body, coverage, defect
from walkaround.rules.checklist import Item
from walkaround.rules.coverage import Ground, Walk
from walkaround.rules.defect import Defect, Limit
from walkaround.rules.entry import Book, Entry
from walkaround.rules.lists import Lists
from walkaround.rules.meter import Meter, MeterChange, highest_since
from walkaround.rules.quantity import in_si
from walkaround.rules.setting import SiteRules
from walkaround.rules.verdict import Doubt, Facts, Hold


@dataclass(frozen=True)
class Reading:
    """An hour-meter reading, in hours."""

    entry: str
    made_at: int
    value: float
    counts: bool


@dataclass(frozen=True)
class Change:
    """A change of hour meters."""

    entry: str
    made_at: int
    old: float
    new: float
    counts: bool


@dataclass(frozen=True)
class Measured:
    """A measured value in SI where its unit has kin there, else in the unit of its item."""

    entry: str
    item: str
    made_at: int
    value: float
    measured_in: str | None  # null: its list is not known, so nobody can say
    counts: bool


@dataclass(frozen=True)
class Remark:
    """Words on an answer that is in order."""

    entry: str
    by: str | None
    item: str
    made_at: int
    checklist: str
    version: str
    note: str


@dataclass(frozen=True)
class Gathered:
    """All facts of some entries."""

    defects: tuple[Defect, ...]
    holds: tuple[Hold, ...]
    doubts: tuple[Doubt, ...]
    walks: tuple[Walk, ...]
    readings: tuple[Reading, ...]
    changes: tuple[Change, ...]
    measured: tuple[Measured, ...]
    remarks: tuple[Remark, ...]


def gather(
    entries: Iterable[Entry], lists: Lists, machines: Collection[str], limit: Limit
) -> Gathered:
    """Return what follows from entries that belong together, in whatever order they came.

    `machines`: all that the unit has ever been called, for nothing lowers what was critical.
    """
    book = Book(entries)
    return Gathered(
        defects=defect.gather(book, lists, machines, limit),
        holds=tuple(_holds(book)),
        doubts=tuple(
            Doubt(e.id, doubt.about, doubt.why, e.made_at, book.settled.get(doubt.about))
            for e, doubt in book.doubts
        ),
        walks=coverage.gather(book, lists),
        readings=tuple(_readings(book)),
        changes=tuple(
            Change(e.id, e.made_at, e.body.old, e.body.new, book.states(e))
            for e in book.entries
            if isinstance(e.body, body.MeterChange)
        ),
        measured=tuple(_measured(book, lists)),
        remarks=tuple(_remarks(book)),
    )


def facts(
    gathered: Gathered, lists: Lists, site: SiteRules, machine: str, first_hours: float | None
) -> Facts:
    """Return the facts of one unit out of all its entries."""
    counted = sorted((c for c in gathered.changes if c.counts), key=lambda c: (c.made_at, c.entry))
    changes = tuple(MeterChange(c.made_at, c.old, c.new) for c in counted)
    readings = [(r.made_at, r.value) for r in gathered.readings if r.counts]
    measured: dict[str, tuple[int, ...]] = {}
    for one in gathered.measured:
        if one.counts:
            measured[one.item] = (*measured.get(one.item, ()), one.made_at)
    return Facts(
        ground=Ground(lists, site, machine, measured),
        defects=gathered.defects,
        holds=gathered.holds,
        doubts=gathered.doubts,
        walks=gathered.walks,
        meter=Meter(changes, highest_since(changes, readings, first_hours)),
    )


def names(entry: Entry) -> set[str]:
    """Return the ids that an entry names: what it may end, cover, confirm or speak of."""
    members = ("defects", "hold", "lay_up", "entry", "about", "looked_again")
    named = [getattr(entry.body, member, None) or () for member in members]
    for answer in getattr(entry.body, "answers", ()):
        named.append(answer.than)
    return {id for ids in named for id in ((ids,) if isinstance(ids, str) else ids)}


def _holds(book: Book) -> Iterator[Hold]:
    ends, seen = _hold_ends(book), set()
    for entry in book.strict:
        key = (entry.kind, entry.id)
        made = entry.body
        if not isinstance(made, body.Hold | body.LayUp) or key in seen:
            continue
        if isinstance(made, body.Hold) or book.full(entry) or entry.id in book.contested:
            seen.add(key)
            yield Hold(entry.id, entry.kind, entry.by, entry.made_at, made.reason, ends.get(key))


def _hold_ends(book: Book) -> dict[tuple[str, str], str]:
    ends: dict[tuple[str, str], str] = {}
    for entry in filter(book.full, book.entries):
        if isinstance(made := entry.body, body.Release):
            ends.setdefault(("hold", made.hold), entry.id)
        elif isinstance(made, body.Return):
            ends.setdefault(("lay_up", made.lay_up), entry.id)
    return ends


def _readings(book: Book) -> Iterator[Reading]:
    for entry in book.entries:
        made = entry.body
        value = made.value if isinstance(made, body.Hours) else getattr(made, "hours", None)
        if value is not None:
            counts = book.states(entry) and not getattr(made, "insisted", False)
            yield Reading(entry.id, entry.made_at, value, counts)


def _measured(book: Book, lists: Lists) -> Iterator[Measured]:
    for entry in book.entries:
        if isinstance(made := entry.body, body.Walkaround):
            known = lists.find(made.checklist, made.version, by=entry.received_at)
            values = {a.item: a.value for a in made.answers if a.value is not None}
            for name, value in values.items():
                si, unit = _in_si(value, known.item(name) if known else None)
                yield Measured(entry.id, name, entry.made_at, si, unit, book.states(entry))


def _in_si(value: float, item: Item | None) -> tuple[float, str | None]:
    return in_si(value, item.measure.unit) if item and item.measure else (value, None)


def _remarks(book: Book) -> Iterator[Remark]:
    for entry in book.entries:
        if isinstance(made := entry.body, body.Walkaround):
            notes = {a.item: a.note for a in made.answers if a.answer == "in_order" and a.note}
            for item, note in notes.items():
                yield Remark(
                    entry.id, entry.by, item, entry.made_at, made.checklist, made.version, note
                )
