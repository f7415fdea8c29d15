"""Instants as UTC milliseconds, and their text after RFC 3339."""

import re
from datetime import UTC, datetime, timedelta

SECOND = 1_000
MINUTE = 60 * SECOND
HOUR = 60 * MINUTE
DAY = 24 * HOUR

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_SHAPE = re.compile(r"\d{4}-\d\d-\d\d[Tt]\d\d:\d\d:\d\d(\.\d{1,9})?([Zz]|[+-]\d\d:\d\d)")


def parse(text: str) -> int:
    """Return the instant that an RFC 3339 date-time with an offset names; ValueError otherwise."""
    if not isinstance(text, str) or not _SHAPE.fullmatch(text):
        raise ValueError(f"{text!r} is not a date and time with an offset, like 2026-01-31T05:45:00Z")
    moment = datetime.fromisoformat(re.sub(r"(\.\d{6})\d+", r"\1", text.upper()))
    return (moment - _EPOCH) // timedelta(milliseconds=1)


def text(instant: int) -> str:
    """Return an instant as RFC 3339 in UTC; milliseconds only where there are some."""
    moment = _EPOCH + timedelta(milliseconds=instant)
    timespec = "milliseconds" if instant % SECOND else "seconds"
    return moment.replace(tzinfo=None).isoformat(timespec=timespec) + "Z"
