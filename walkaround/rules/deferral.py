"""What lets a unit run with a defect for a while, and when that is over."""

from collections.abc import Sequence
from dataclasses import dataclass

from walkaround.rules import body, instant
from walkaround.rules.entry import Entry
from walkaround.rules.meter import Meter


@dataclass(frozen=True)
class Deferral:
    """What lets a unit run with a defect: from `since` until `until`, or some hours, sooner."""

    entries: tuple[str, ...]
    by: str | None
    since: int
    until: int
    until_hours: tuple[float, ...]
    restrictions: tuple[str, ...]

    def over(self, now: int, meter: Meter) -> bool:
        """Say whether it has run out."""
        reached = any(meter.reached(hours, self.since) for hours in self.until_hours)
        return now >= self.until or reached

    def in_force(self, now: int, meter: Meter) -> bool:
        """Say whether it holds at an instant."""
        return self.since <= now and not self.over(now, meter)


def standing(defers: Sequence[Entry]) -> Deferral | None:
    """Return what the last of them says; of several at one instant, what all of them allow."""
    if not defers:
        return None
    since = defers[-1].made_at
    last = [entry for entry in defers if entry.made_at == since]
    said = [entry.body for entry in last if isinstance(entry.body, body.Defer)]
    return Deferral(
        entries=tuple(entry.id for entry in last),
        by=last[0].by,
        since=since,
        until=min(instant.parse(one.until) for one in said),
        until_hours=tuple(one.until_hours for one in said if one.until_hours is not None),
        restrictions=tuple(one.restrictions for one in said),
    )
