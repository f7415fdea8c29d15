"""Instants as UTC milliseconds, and their text after RFC 3339."""

import re
from datetime import UTC, datetime, timedelta

SECOND = 1_000
MINUTE = 60 * SECOND
HOUR = 60 * MINUTE
DAY = 24 * HOUR

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_FIRST = (datetime.min.replace(tzinfo=UTC) - _EPOCH) // timedelta(milliseconds=1)
_LAST = (datetime.max.replace(tzinfo=UTC) - _EPOCH) // timedelta(milliseconds=1)
_SHAPE = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,9})?"
    r"(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])",
    re.IGNORECASE | re.ASCII,
)


def parse(text: str) -> int:
    """Return the instant that an RFC 3339 date-time with an offset names; ValueError otherwise."""
    wrong = f"{text!r} is not a date and time with an offset, like 2026-01-31T05:45:00Z"
    if not isinstance(text, str) or not _SHAPE.fullmatch(text):
        raise ValueError(wrong)
    try:
        moment = datetime.fromisoformat(re.sub(r"(\.\d{6})\d+", r"\1", text.upper()))
    except ValueError as error:
        raise ValueError(f"{wrong}: {error}") from error
    instant = (moment - _EPOCH) // timedelta(milliseconds=1)
    if not _FIRST <= instant <= _LAST:
        raise ValueError(f"{wrong}: in UTC it lies outside the years 0001 to 9999")
    return instant


def moved(instant: int, by: int) -> int:
    """Return a later or earlier instant, kept among those that `text` can say."""
    return min(max(instant + by, _FIRST), _LAST)


def text(instant: int) -> str:
    """Return an instant as RFC 3339 in UTC; milliseconds only where there are some."""
    if not _FIRST <= instant <= _LAST:
        raise ValueError(f"{instant} ms lies outside the years 0001 to 9999")
    moment = _EPOCH + timedelta(milliseconds=instant)
    timespec = "milliseconds" if instant % SECOND else "seconds"
    return moment.replace(tzinfo=None).isoformat(timespec=timespec) + "Z"
