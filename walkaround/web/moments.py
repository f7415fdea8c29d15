"""Instants and numbers as people of the site read them."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from babel.dates import format_date, format_time
from babel.numbers import format_decimal
from flask import Flask, g

from walkaround import clock
from walkaround.rules.instant import MINUTE, parse
from walkaround.rules.trouble import correction
from walkaround.web.language import say, say_number

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_FIRST, _LAST = (
    (datetime(*day, tzinfo=UTC) - _EPOCH) // timedelta(milliseconds=1)
    for day in ((1, 1, 3), (9999, 12, 29))
)

FIRST, LAST = parse("0001-01-02T12:00:00Z"), parse("9999-12-30T12:00:00Z")


def register(app: Flask) -> None:
    """Give templates the filters `time`, `moment`, `day` and `number`."""
    app.jinja_env.filters.update(time=time, moment=moment, day=day, number=number)


def local(instant: int) -> datetime:
    """Return an instant on the site's clock."""
    sayable = min(max(instant, FIRST), LAST)  # a broken clock must not break the page that shows it
    moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=sayable)
    return moment.astimezone(ZoneInfo(g.get("zone", "UTC")))


def time(instant: int) -> str:
    """Return the time of day, like 05:51."""
    return format_time(local(instant), "HH:mm", locale=g.language)


def day(instant: int) -> str:
    """Return the date, like 24 Nov; the year where it is another one."""
    when, today = local(instant), local(clock.now())
    shape = "d MMM" if when.year == today.year else "d MMM y"
    return format_date(when, shape, locale=g.language)


def moment(instant: int) -> str:
    """Return date and time, like `today 05:51` or `24 Nov 13:40`."""
    when, today = local(instant).date(), local(clock.now()).date()
    if when == today:
        return say("today %(time)s", time=time(instant))
    return f"{day(instant)} {time(instant)}"


def number(value: float | None) -> str:
    """Return a number with at most one decimal, in the manner of the language."""
    return "" if value is None else format_decimal(value, "#,##0.#", locale=g.language)


def clock_words(skew_ms: int) -> str:
    """Return how wrong a phone's clock was; nothing where it counts as right."""
    skew = correction(skew_ms)
    minutes = abs(skew) // MINUTE
    if skew > 0:
        return say_number(
            "The phone's clock was 1 minute slow: its times are corrected.",
            "The phone's clock was %(number)s minutes slow: its times are corrected.",
            minutes,
        )
    if skew < 0:
        return say_number(
            "The phone's clock was 1 minute fast: its times are corrected.",
            "The phone's clock was %(number)s minutes fast: its times are corrected.",
            minutes,
        )
    return ""
