"""What was found although such a defect had been cleared: before the repair, or again."""

from collections.abc import Iterable
from dataclasses import dataclass

BEFORE, AGAIN = "before", "again"


@dataclass(frozen=True)
class Repair:
    """A clear of the item: its place in the logbook, when and by whom."""

    entry: str
    seq: int
    made_at: int
    by: str | None


@dataclass(frozen=True)
class Late:
    """How something found stands to a repair."""

    how: str
    repair: Repair


def late(found_at: int, seen: int | None, repairs: Iterable[Repair]) -> Late | None:
    """Return the repair that the finder cannot have known of, else the last one before it.

    `seen` is the place of the last entry that the finder had before them. Without it nobody can
    tell, and *found again* is the stricter word.
    """
    known = sorted(repairs, key=lambda repair: (repair.made_at, repair.seq))
    for repair in known:
        if found_at <= repair.made_at and seen is not None and seen < repair.seq:
            return Late(BEFORE, repair)
    return Late(AGAIN, known[-1]) if known else None
