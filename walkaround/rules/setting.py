"""A site's settings with their dates: what held when."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from walkaround.rules.instant import MINUTE
from walkaround.rules.shift import Roster

EARLY = 60 * MINUTE

T = TypeVar("T")


@dataclass(frozen=True)
class Dated(Generic[T]):
    """Values and since when each holds, oldest first; the first holds from the beginning."""

    values: tuple[tuple[int, T], ...]

    def at(self, instant: int) -> T:
        """Return the value that held at an instant."""
        place = bisect_right([since for since, _ in self.values], instant)
        return self.values[max(place - 1, 0)][1]


@dataclass(frozen=True)
class SiteRules:
    """What a site has settled about shifts, early walks and second looks."""

    roster: Roster
    early_allowances: Sequence[tuple[int, int]] = ((0, EARLY),)
    second_look_since: int | None = None  # null: no second look is asked for now

    def early(self, instant: int) -> int:
        """Return how long before a shift a walk for it may begin, in milliseconds."""
        return Dated(tuple(self.early_allowances)).at(instant)
