"""The times of day at which a site's shifts start, as people write them."""

import re
from dataclasses import dataclass
from itertools import combinations
from operator import attrgetter

LIKE = "write shift times like 06:00,14:00,22:00 or 06:00-16:00"

_WHOLE_DAY = 24 * 60
_TIME = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])")


class ShiftTimesError(ValueError):
    """A sentence about shift times: what is wrong with them and what would be right."""


@dataclass(frozen=True)
class Time:
    """A time of day at which a shift starts, in minutes; without an end it lasts to the next."""

    start: int
    end: int | None = None

    def minutes(self) -> int:
        """Return how long a range lasts by the clock on the wall; 0 where no end is given."""
        return 0 if self.end is None else (self.end - self.start) % _WHOLE_DAY

    def __str__(self) -> str:
        return "-".join(
            f"{m // 60:02}:{m % 60:02}" for m in (self.start, self.end) if m is not None
        )


def parse_times(text: str) -> tuple[Time, ...]:
    """Read `06:00,14:00,22:00`, `06:00-16:00` or a mixture; ShiftTimesError says what is wrong."""
    if not text.strip(" ,"):
        raise ShiftTimesError(f"No shift times are given; {LIKE}.")
    times = tuple(sorted((_time(part, text) for part in text.split(",")), key=attrgetter("start")))
    for one, other in combinations(times, 2):
        if one.start == other.start:
            raise ShiftTimesError(
                f"Two shifts start at {Time(one.start)}: {one} and {other}; leave one of them out."
            )
        for early, late in ((one, other), (other, one)):
            if (late.start - early.start) % _WHOLE_DAY < early.minutes():
                raise ShiftTimesError(
                    f"{early} is not over yet when {late} starts; let it end at {Time(late.start)}"
                    " or before."
                )
    return times


def _time(part: str, text: str) -> Time:
    if not part.strip():
        raise ShiftTimesError(f"There is a comma too many in {text.strip()!r}; {LIKE}.")
    start, dash, end = part.partition("-")
    time = Time(_minute(start), _minute(end) if dash else None)
    if time.start == time.end:
        raise ShiftTimesError(
            f"{time} ends where it starts; write {Time(time.start)} alone for a shift that lasts"
            " until the next one starts."
        )
    return time


def _minute(clock: str) -> int:
    match = _TIME.fullmatch(clock.strip())
    if not match:
        raise ShiftTimesError(
            f"{clock.strip()!r} is not a time of day from 00:00 to 23:59 in four digits; {LIKE}."
        )
    return int(match[1]) * 60 + int(match[2])
