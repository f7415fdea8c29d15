"""What a bad answer opens, what ends it, and what lets a unit run with it for a while."""

import uuid
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Protocol

from walkaround.rules import body
from walkaround.rules.answer import Failure, failures
from walkaround.rules.deferral import Deferral as Deferral
from walkaround.rules.deferral import standing
from walkaround.rules.entry import Book, Entry
from walkaround.rules.lists import Lists
from walkaround.rules.meter import Meter

OPEN, OVER, DEFERRED, CLEARED = "open", "over", "deferred", "cleared"


class Limit(Protocol):
    """The highest blend of biodiesel that a unit takes, in percent, at an instant."""

    def __call__(self, instant: int) -> float | None: ...


@dataclass(frozen=True)
class Defect:
    """One thing found wrong once."""

    id: str
    entry: str
    by: str | None
    made_at: int
    failure: Failure
    checklist: str | None = None
    version: str | None = None
    critical: bool = False
    ended: tuple[str, ...] = ()  # the clears that count, oldest first
    cleared_at: int | None = None
    looked: bool = True  # false: a second look is still due
    asked_at: int = 0  # when the clear came in that asks for it
    deferral: Deferral | None = None

    @property
    def line(self) -> str:
        """Return what it stands together by: its item, or itself where it has none."""
        return self.failure.item or self.id


def gather(book: Book, lists: Lists, machines: Collection[str], limit: Limit) -> tuple[Defect, ...]:
    """Return every defect that the entries add, with its ending and its deferral."""
    added = _united(
        _strict(defect, book) for e in book.strict for defect in _added(e, lists, machines, limit)
    )
    clears, defers = _naming(book, body.Clear), _naming(book, body.Defer)
    critical = {defect.id for defect in added if defect.critical}
    looks = [e for e in book.entries if isinstance(e.body, body.Walkaround) and book.states(e)]
    return tuple(
        replace(
            _ended(defect, clears[defect.id], looks),
            deferral=standing([e for e in defers[defect.id] if _allowed(e, book, critical)]),
        )
        for defect in added
    )


def states(defects: Iterable[Defect], now: int, meter: Meter) -> dict[str, str]:
    """Return the state of each defect at an instant: open, over (deferral), deferred or cleared."""
    known = {defect.id: defect for defect in defects}
    return {defect.id: _state(defect, known, now, meter) for defect in known.values()}


def _added(entry: Entry, lists: Lists, machines: Collection[str], limit: Limit) -> Iterable[Defect]:
    """Return what one entry alone adds."""
    made = entry.body
    if isinstance(made, body.Walkaround):
        known = lists.find(made.checklist, made.version, by=entry.received_at)
        for failure in failures(made, known):
            yield _defect(
                entry,
                str(uuid.uuid5(uuid.UUID(entry.id), failure.item or "")),
                failure,
                made.checklist,
                made.version,
                critical=lists.critical(made.checklist, failure.item, machines),
            )
    elif isinstance(made, body.Defect):
        failure = Failure(made.item, made.findings, made.what, made.photos)
        critical = made.critical or lists.critical(None, made.item, machines)
        yield _defect(entry, entry.id, failure, critical=critical)
    elif isinstance(made, body.Fill) and made.biodiesel_percent is not None:
        most = limit(entry.made_at)
        if most is not None and made.biodiesel_percent > most:
            failure = Failure("biodiesel", value=made.biodiesel_percent, high=most)
            yield _defect(entry, str(uuid.uuid5(uuid.UUID(entry.id), "biodiesel")), failure)


def _defect(
    entry: Entry,
    id: str,
    failure: Failure,
    checklist: str | None = None,
    version: str | None = None,
    *,
    critical: bool = False,
) -> Defect:
    return Defect(id, entry.id, entry.by, entry.made_at, failure, checklist, version, critical)


def _strict(defect: Defect, book: Book) -> Defect:
    """Return what stands of a defect; that it is no worse is not taken from a contested entry."""
    if defect.entry not in book.contested:
        return defect
    return replace(defect, failure=replace(defect.failure, than=()))


def _united(added: Iterable[Defect]) -> list[Defect]:
    """Return one defect an id; where contents differ, the strictest of each."""
    found: dict[str, Defect] = {}
    for defect in added:
        first = found.setdefault(defect.id, defect)
        if first is not defect:
            found[defect.id] = replace(
                first,
                critical=first.critical or defect.critical,
                failure=first.failure.united(defect.failure),
            )
    return list(found.values())


def _naming(book: Book, kind: type[body.Clear] | type[body.Defer]) -> Mapping[str, list[Entry]]:
    """Return the entries of a kind that count, by the defects they name."""
    found: dict[str, list[Entry]] = defaultdict(list)
    for entry in book.entries:
        if isinstance(entry.body, kind) and book.full(entry):
            for id in entry.body.defects:
                found[id].append(entry)
    return found


def _ended(defect: Defect, clears: list[Entry], looks: list[Entry]) -> Defect:
    """Return the defect with what ended it; one clear that was looked at again is enough."""
    if not clears:
        return defect
    return replace(
        defect,
        ended=tuple(clear.id for clear in clears),
        cleared_at=clears[0].made_at,
        looked=not defect.critical or any(_looked(c, walk) for c in clears for walk in looks),
        asked_at=min(clear.received_at for clear in clears),
    )


def _looked(clear: Entry, walk: Entry) -> bool:
    again = walk.body.looked_again  # type: ignore[attr-defined]
    return clear.id in again and walk.made_at > clear.made_at and walk.by != clear.by


def _allowed(entry: Entry, book: Book, critical: set[str]) -> bool:
    """A deferral that names any critical defect counts for nothing."""
    return not book.withdrawn(entry) and critical.isdisjoint(entry.body.defects)  # type: ignore[attr-defined]


def _state(defect: Defect, known: Mapping[str, Defect], now: int, meter: Meter) -> str:
    if defect.ended:
        return CLEARED
    than = () if defect.critical else defect.failure.than  # no deferral lets a critical one pass
    named = [known[id] for id in than if id in known]
    bases = [b for b in named if not b.ended and defect.failure.no_worse_than(b.failure)]
    deferrals = [d.deferral for d in (defect, *bases) if d.deferral]
    if any(deferral.in_force(now, meter) for deferral in deferrals):
        return DEFERRED
    return OVER if any(deferral.over(now, meter) for deferral in deferrals) else OPEN
