"""Which entries count, and which only on their strict side."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from walkaround.rules.body import Body, Confirm, Correction, Settle
from walkaround.rules.person import SUPERVISOR

# What an entry was unconfirmed for, besides its PIN.
CLOCK, LEFT, LIST = "clock", "left", "list"

# Why a doubt was raised whose content contradicts an entry; of any other doubt nothing is read.
OTHER_CONTENT = "the same id came with other content"

# Kinds that a confirm makes good also where their clock was nonsense: when does not matter there.
_TIMELESS = frozenset(
    {"clear", "defer", "release", "return", "settle", "lay_up", "meter_change", "service"}
    | {"correction", "confirm"}
)


@dataclass(frozen=True)
class Doubt(Body):
    """The server's own note that something contradicts what stands, or could not be read."""

    about: str
    why: str
    other: "Entry | None" = None  # the content that contradicts the entry, if it does


@dataclass(frozen=True)
class Entry:
    """One entry as it bears on the verdict; instants are corrected by the phone's skew."""

    id: str
    kind: str
    unit: str
    made_at: int
    body: Body
    by: str | None = None
    roles: tuple[str, ...] = ()
    confirmed: bool = True
    trouble: frozenset[str] = frozenset()
    received_at: int = 0
    skew: int = 0
    seq: int = 0


class Book:
    """Entries that belong together, weighed against each other; their order does not matter."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self.entries = tuple(sorted(entries, key=lambda entry: (entry.made_at, entry.id)))

    def full(self, entry: Entry) -> bool:
        """Say whether an entry counts fully: signed by its maker and not contradicted."""
        return entry.id in self._signed and entry.id not in self.contested

    def withdrawn(self, entry: Entry) -> bool:
        """Say whether its author or a supervisor took back what it covers or states."""
        return any(
            correction.by == entry.by or SUPERVISOR in correction.roles
            for correction in self._withdrawals[entry.id]
            if self.full(correction)
        )

    def states(self, entry: Entry) -> bool:
        """Say whether the number or the cover that an entry states may be used."""
        return self.full(entry) and not self.withdrawn(entry)

    @cached_property
    def doubts(self) -> tuple[tuple[Entry, Doubt], ...]:
        """Return the server's doubts."""
        return tuple((e, e.body) for e in self.entries if isinstance(e.body, Doubt))

    @cached_property
    def contested(self) -> frozenset[str]:
        """Return the ids that arrived with more than one content."""
        return frozenset(doubt.about for _, doubt in self.doubts if doubt.other)

    @cached_property
    def settled(self) -> dict[str, str]:
        """Return what is settled, and by which entry."""
        settling = [
            (e.body.about, e.id)
            for e in self.entries
            if isinstance(e.body, Settle) and self.full(e)
        ]
        return dict(reversed(settling))

    @cached_property
    def strict(self) -> tuple[Entry, ...]:
        """Return every content there is of every entry: what is strict counts of all of them."""
        return self.entries + tuple(other for _, other in self.others)

    @cached_property
    def others(self) -> tuple[tuple[Entry, Entry], ...]:
        """Return the contents for this unit that contradict an entry, each with its doubt."""
        found = ((e, doubt.other) for e, doubt in self.doubts)
        return tuple((e, other) for e, other in found if other and other.unit == e.unit)

    @cached_property
    def _withdrawals(self) -> dict[str, list[Entry]]:
        found: dict[str, list[Entry]] = defaultdict(list)
        for entry in self.entries:
            if isinstance(entry.body, Correction) and entry.body.withdraws:
                found[entry.body.entry].append(entry)
        return found

    @cached_property
    def _signed(self) -> set[str]:
        """Return the ids that are signed for, also by a later word of the same person."""
        signed = {entry.id for entry in self.entries if entry.confirmed}
        known = {entry.id: entry for entry in self.entries}
        waiting = [e for e in self.entries if isinstance(e.body, Confirm)]
        while ready := [e for e in waiting if e.id in signed and e.id not in self.contested]:
            waiting = [e for e in waiting if e not in ready]
            for confirm in ready:
                target = known.get(confirm.body.entry)  # type: ignore[attr-defined]
                if target and target.by == confirm.by and _confirmable(target):
                    signed.add(target.id)
        return signed


def _confirmable(entry: Entry) -> bool:
    """A wrong PIN can be made good; a walk with a broken clock or list must be walked again."""
    return entry.trouble <= ({CLOCK} if entry.kind in _TIMELESS else set())
