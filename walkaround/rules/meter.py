"""The hour meter: where it stands, also across a change of meters."""

from dataclasses import dataclass


@dataclass(frozen=True)
class MeterChange:
    """A change of meters that counts."""

    made_at: int
    old: float
    new: float


@dataclass(frozen=True)
class Meter:
    """Changes oldest first, and the highest reading that counts since the last of them (hours)."""

    changes: tuple[MeterChange, ...] = ()
    highest: float | None = None

    @property
    def standing(self) -> float | None:
        """Return what the meter shows, in hours."""
        shown = [self.changes[-1].new] if self.changes else []
        return max(shown + ([self.highest] if self.highest is not None else []), default=None)

    def worked(self, value: float, instant: int) -> float:
        """Return a reading of that instant's meter as hours since the first meter."""
        return value + sum(c.old - c.new for c in self.changes if c.made_at <= instant)

    def shown(self, hours: float, instant: int) -> float:
        """Return what the meter of today shows when that instant's would have shown so many."""
        return self.worked(hours, instant) - sum(c.old - c.new for c in self.changes)

    def reached(self, hours: float, instant: int) -> bool:
        """Say whether a reading that was named at an instant has been reached by now."""
        if self.standing is None:
            return False
        now = self.standing + sum(change.old - change.new for change in self.changes)
        return now >= self.worked(hours, instant)


def highest_since(
    changes: tuple[MeterChange, ...], readings: list[tuple[int, float]], first: float | None
) -> float | None:
    """Return the highest of the readings (made at, hours) since the last change."""
    since = changes[-1].made_at if changes else None
    values = [value for made_at, value in readings if since is None or made_at >= since]
    if since is None and first is not None:
        values.append(first)
    return max(values, default=None)
