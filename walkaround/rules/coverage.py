"""Which shift a walk-around covers."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from walkaround.rules import answer, body, instant
from walkaround.rules.checklist import Checklist
from walkaround.rules.entry import Book, Entry
from walkaround.rules.lists import Lists
from walkaround.rules.setting import SiteRules
from walkaround.rules.shift import Shift

FULL, DOUBTFUL, WITHDRAWN, CONTESTED = "full", "doubtful", "withdrawn", "contested"
COVERS, CUT_SHORT, UNCONFIRMED, NOT_WALKED = "covers", "cut_short", "unconfirmed", "not_walked"


@dataclass(frozen=True)
class Walk:
    """A walk-around as coverage needs it; instants are corrected by the phone's skew.

    Of a content that contradicts an entry, `entry` is the doubt that holds it.
    """

    entry: str
    by: str | None
    made_at: int
    started_at: int
    for_shift: int | None
    checklist: str
    version: str
    standing: str
    missing: tuple[str, ...] = ()
    failed: int = 0


@dataclass(frozen=True)
class Seen:
    """What a walk-around is worth at an instant, and when that ends."""

    walk: Walk
    worth: str
    shift: Shift | None


def gather(book: Book, lists: Lists) -> tuple[Walk, ...]:
    """Return the walk-arounds among the entries, and among the contents that contradict some."""
    found = [_walk(entry, entry.id, book, lists) for entry in book.entries]
    found += [_walk(other, doubt.id, book, lists) for doubt, other in book.others]
    walks = [walk for walk in found if walk]
    return tuple(sorted(walks, key=lambda walk: (walk.made_at, walk.entry)))


def _walk(entry: Entry, id: str, book: Book, lists: Lists) -> Walk | None:
    if not isinstance(made := entry.body, body.Walkaround):
        return None
    known = lists.find(made.checklist, made.version, by=entry.received_at)
    return Walk(
        entry=id,
        by=entry.by,
        made_at=entry.made_at,
        started_at=instant.moved(instant.parse(made.started_at), entry.skew),
        for_shift=instant.parse(made.for_shift) if made.for_shift else None,
        checklist=made.checklist,
        version=made.version,
        standing=_standing(entry, book, known),
        missing=answer.missing(made, known) if known else (),
        failed=len(answer.failures(made, known)),
    )


def _standing(entry: Entry, book: Book, known: Checklist | None) -> str:
    """Say how far a walk counts; what is contested is there, whoever takes it back."""
    if entry.id in book.contested:
        return CONTESTED
    if book.withdrawn(entry):
        return WITHDRAWN
    return FULL if known and book.full(entry) else DOUBTFUL


@dataclass(frozen=True)
class Ground:
    """What the worth of a walk rests on: lists, shifts, the machine, earlier measurements."""

    lists: Lists
    site: SiteRules
    machine: str
    measured: Mapping[str, tuple[int, ...]]


def look(walks: Iterable[Walk], ground: Ground, now: int) -> tuple[Seen, ...]:
    """Return what each start-of-shift walk is worth now; those for another time are left out."""
    found = (_seen(walk, ground) for walk in walks if walk.standing != WITHDRAWN)
    return tuple(seen for seen in found if seen and seen.shift and now in seen.shift)


def missing_now(walk: Walk, checklist: Checklist, ground: Ground) -> tuple[str, ...]:
    """Return what was left out although it was due when the walk started."""
    left_out = (checklist.item(name) for name in walk.missing)
    return tuple(
        item.name
        for item in left_out
        if item
        and is_due(
            item.measure.every if item.measure else None,
            ground.measured.get(item.name, ()),
            walk.started_at,
        )
    )


def is_due(every: int | None, measured: Iterable[int], started_at: int) -> bool:
    """Say whether an item is asked for: always, or when its last measurement is too long ago."""
    if every is None:
        return True
    return not any(at <= started_at < at + every for at in measured)


def shift_of(walk: Walk, site: SiteRules) -> Shift | None:
    """Return the shift a walk is for: the one named, that it lies in, or that is about to start."""
    if walk.for_shift is not None:
        return site.roster.starting(walk.for_shift)
    if shift := site.roster.at(walk.made_at):
        return shift
    coming = site.roster.next(walk.made_at)
    return coming if coming and walk.made_at >= coming.start - site.early(coming.start) else None


def _seen(walk: Walk, ground: Ground) -> Seen | None:
    if not ground.lists.is_start(walk.checklist):
        return None
    checklist = ground.lists.find(walk.checklist, walk.version)
    if checklist and checklist.valid_for:
        shift: Shift | None = Shift(walk.made_at, walk.made_at + checklist.valid_for)
    else:
        shift = shift_of(walk, ground.site)
    if walk.standing != FULL or not checklist:
        return Seen(walk, UNCONFIRMED, shift)
    if not shift or not _in_time(walk, checklist, shift, ground.site):
        return None
    if not ground.lists.suits(checklist, ground.machine, walk.started_at):
        return None
    worth = CUT_SHORT if missing_now(walk, checklist, ground) else COVERS
    return Seen(walk, worth, shift)


def _in_time(walk: Walk, checklist: Checklist, shift: Shift, site: SiteRules) -> bool:
    if checklist.valid_for:
        return walk.started_at >= walk.made_at - checklist.valid_for
    opens = shift.start - site.early(shift.start)
    return all(opens <= at < shift.end for at in (walk.started_at, walk.made_at))
