"""Shifts: when they start and end at a site, through clock changes and changed shift times."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import pairwise
from operator import attrgetter

from walkaround.rules.instant import DAY
from walkaround.rules.shift_times import LIKE, ShiftTimesError, Time, parse_times
from walkaround.rules.zone import ZoneError, first_instant, zone_named

__all__ = ["Roster", "Schedule", "Shift", "ShiftTimesError", "Time", "ZoneError", "parse_times"]

_EPOCH_DAY = date(1970, 1, 1).toordinal()
_BEGINNING, _NEVER = -(2**63), 2**63
# No shift is longer than three days, not even where a whole date comes twice.
_LONGEST = 3
_MARGIN = 2 * _LONGEST + 1


@dataclass(frozen=True, order=True)
class Shift:
    """A stretch of work in UTC milliseconds: the start belongs to it, the end no longer."""

    start: int
    end: int

    def __contains__(self, instant: int) -> bool:
        return self.start <= instant < self.end


@dataclass(frozen=True)
class Schedule:
    """The zone and the times that hold from one instant on."""

    since: int
    zone: str
    times: tuple[Time, ...]


@dataclass(frozen=True)
class Roster:
    """All schedules that a site has had, oldest first; each starts shifts until the next holds."""

    schedules: tuple[Schedule, ...]

    @classmethod
    def of(cls, history: Iterable[tuple[int, str, str]]) -> "Roster":
        """Build it from (since, zone, times); the first holds from the beginning."""
        rows = sorted(history, key=lambda row: row[0])
        if not rows:
            raise ShiftTimesError(f"The site has no shift times yet; {LIKE}.")
        made = [
            Schedule(since, zone_named(zone).key, parse_times(text)) for since, zone, text in rows
        ]
        return cls((Schedule(_BEGINNING, made[0].zone, made[0].times), *made[1:]))

    def at(self, instant: int) -> Shift | None:
        """Return the shift in which an instant lies."""
        shifts = _near(self.schedules, instant // DAY)
        place = bisect_right(shifts, instant, key=attrgetter("start"))
        return shifts[place - 1] if place and instant in shifts[place - 1] else None

    def starting(self, instant: int) -> Shift | None:
        """Return the shift that starts at exactly this instant."""
        shift = self.at(instant)
        return shift if shift and shift.start == instant else None

    def next(self, instant: int) -> Shift | None:
        """Return the first shift that starts after an instant."""
        today = instant // DAY
        last = max(today, self.schedules[-1].since // DAY) if _countable(today) else today
        for day in range(today, last + 2 * _LONGEST, _LONGEST):
            shifts = _near(self.schedules, day)
            place = bisect_right(shifts, instant, key=attrgetter("start"))
            if place < len(shifts):
                return shifts[place]
        return None


def _countable(day: int) -> bool:
    return date.min.toordinal() <= day + _EPOCH_DAY - _MARGIN <= date.max.toordinal() - 2 * _MARGIN


def _planned(schedule: Schedule, days: range) -> list[Shift]:
    """Return what one schedule alone plans, also a shift that a clock change leaves no time."""
    ends: dict[int, int] = {}
    for day in days:
        for time in schedule.times:
            start, end = first_instant(schedule.zone, day, time.start), _NEVER
            if time.end is not None:
                end = first_instant(schedule.zone, day + (time.end < time.start), time.end)
            ends[start] = end  # of starts that fall together, the last by the wall clock counts
    return [Shift(a, min(end, b)) for (a, end), (b, _) in pairwise(sorted(ends.items()))]


@lru_cache(maxsize=1024)
def _near(schedules: tuple[Schedule, ...], day: int) -> tuple[Shift, ...]:
    """Return the shifts that start less than _LONGEST days before or after a day's start, UTC."""
    if not _countable(day):
        return ()  # an instant at the ends of the calendar: some clock is broken, so no shift
    days = range(day + _EPOCH_DAY - _MARGIN + 1, day + _EPOCH_DAY + _MARGIN)
    planned: list[Shift] = []
    for schedule, until in zip(schedules, [s.since for s in schedules[1:]] + [_NEVER], strict=True):
        if schedule.since < (day + _MARGIN) * DAY and until > (day - _MARGIN) * DAY:
            shifts = _planned(schedule, days)
            planned += [shift for shift in shifts if schedule.since <= shift.start < until]
    following = [shift.start for shift in planned[1:]] + [_NEVER]
    cut = [Shift(s.start, min(s.end, b)) for s, b in zip(planned, following, strict=False)]
    low, high = ((day + side * _LONGEST) * DAY for side in (-1, 1))
    return tuple(shift for shift in cut if low <= shift.start < high and shift.start < shift.end)
