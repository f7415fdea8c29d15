"""A walk that fits any unit: the page that a phone keeps; scripts fill in what is due there."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from walkaround.rules.checklist import Checklist, Item
from walkaround.rules.quantity import Preferred
from walkaround.web import measured
from walkaround.web.measured import MeasureWords
from walkaround.web.walk_asked import Stop, kept_stops


@dataclass(frozen=True)
class NoUnit:
    """What stands in the place of a unit until it is known."""

    number: str
    title: str
    machine: str


@dataclass(frozen=True)
class KeptWalk:
    """A list with everything it may ask for, and nothing of any unit."""

    checklist: Checklist
    form: Any
    stops: Sequence[Stop]
    units: Preferred
    standing: None = None
    looks: tuple[()] = ()
    shifts: tuple[()] = ()
    shift_ends: tuple[()] = ()
    problems: tuple[()] = ()
    hours_error: str = ""
    trouble: str = ""

    @property
    def unit(self) -> NoUnit:
        """Return the kind of machine that the list is for."""
        return NoUnit("", "", self.checklist.machine)

    @property
    def count(self) -> int:
        """Return how many items there are."""
        return sum(len(stop.asks) for stop in self.stops)

    def measured(self, item: Item) -> MeasureWords | None:
        """Return what it says of a number that an item asks for."""
        made = measured.scale_of(item, self.units)
        return measured.asked(made) if made else None


def kept_walk(checklist: Checklist, form: Any) -> KeptWalk:
    """Return the page of one version of a list, in the units of the site."""
    units = measured.preferred()
    form.checklist.data, form.version.data = checklist.name, checklist.version
    form.units.data = measured.written(units)
    form.entry.data = ""
    return KeptWalk(checklist, form, kept_stops(checklist), units)
