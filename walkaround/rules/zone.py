"""Time zones: their names, and when a wall clock shows what."""

from bisect import bisect_left
from datetime import UTC, date, datetime, time, timedelta
from difflib import get_close_matches
from functools import lru_cache
from zoneinfo import ZoneInfo, available_timezones

from walkaround.rules.instant import SECOND

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_LONGEST_NAME = 60
# "right" counts leap seconds; the others mean whatever this one computer is set to.
_NOT_A_PLACE = {"posix", "right", "localtime", "posixrules", "Factory"}


class ZoneError(ValueError):
    """A sentence about a time zone that is not known."""


def zone_named(name: str) -> ZoneInfo:
    """Return a zone of the IANA time zone database; ZoneError if it has none of that name."""
    try:
        if name.partition("/")[0] not in _NOT_A_PLACE:
            return ZoneInfo(name)
    except (KeyError, ValueError, OSError):  # unknown; not a name at all; a folder of zones
        pass
    known = sorted(zone for zone in available_timezones() if zone not in _NOT_A_PLACE)
    near = get_close_matches(name[:_LONGEST_NAME], known, n=1) or ["Europe/Madrid"]
    raise ZoneError(
        f"{name[:_LONGEST_NAME]!r} is not a time zone of the IANA database;"
        f" write its name in full, like {near[0]}."
    )


@lru_cache(maxsize=8192)
def first_instant(zone: str, day: int, minute: int) -> int:
    """Return when the wall clock first shows this minute of this day (an ordinal), or later.

    So a time that a clock change skips is the instant of the change, and of two the first.
    """
    midnight = datetime.combine(date.fromordinal(day), time.min, ZoneInfo(zone))
    wall = midnight + timedelta(minutes=minute)
    by_old, by_new = (_second(wall.replace(fold=fold)) for fold in (0, 1))
    if by_old <= by_new:
        return by_old * SECOND

    # Skipped (PEP 495: only then fold=1 comes out earlier): the change lies between the two.
    def reached(second: int) -> bool:
        shown = (_EPOCH + timedelta(seconds=second)).astimezone(wall.tzinfo)
        return shown.replace(tzinfo=None) >= wall.replace(tzinfo=None)

    seconds = range(by_new, by_old + 1)
    return seconds[bisect_left(seconds, True, key=reached)] * SECOND


def _second(wall: datetime) -> int:
    return (wall - _EPOCH) // timedelta(seconds=1)
