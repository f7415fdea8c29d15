"""Shifts of any zone, day and times against a walk through the minutes, and what always holds.

Clock changes are those of the IANA time zone database (zoneinfo reads it from the computer or from
the package tzdata). The walk shares nothing with the program: it looks at the clock on the wall.
"""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

from hypothesis import example, given, settings
from hypothesis import strategies as st

from walkaround.rules.instant import DAY, MINUTE
from walkaround.rules.shift import Roster, Shift

ZONES = sorted(available_timezones() - {"localtime", "posixrules", "Factory"})
RICH = ["Europe/Madrid", "America/St_Johns", "Australia/Lord_Howe", "Pacific/Apia", "Africa/Cairo"]
RICH += ["America/Sao_Paulo", "Asia/Kathmandu", "Africa/Casablanca", "America/Caracas", "Asia/Gaza"]
YEARS = range(2007, 2038)


def start_of(day: date) -> int:
    """Return the instant at which a day begins in UTC."""
    return (day - date(1970, 1, 1)).days * DAY


def minutes_of(clock: str) -> int:
    return int(clock[:2]) * 60 + int(clock[3:])


def plain(times: str) -> dict[int, int | None]:
    """Return starts and ends in minutes of the day, read in the simplest way."""
    pairs = [part.partition("-") for part in times.split(",")]
    return {minutes_of(start): minutes_of(end) if end else None for start, _, end in pairs}


def told(zone: str, moments: range) -> list[range]:
    """Return what the wall clock tells at each moment: every minute once, a skipped one late."""
    place, heard, news = ZoneInfo(zone), None, []
    for moment in moments:
        wall = datetime.fromtimestamp(moment // 1000, place)
        now = wall.toordinal() * 1440 + wall.hour * 60 + wall.minute
        heard = now - 1 if heard is None else heard
        news.append(range(heard + 1, now + 1))
        heard = max(heard, now)
    return news


def walked(history: list[tuple[int, str, str]], day: date) -> list[Shift]:
    """Return the shifts that start on a day (UTC) by walking through minutes."""
    midnight = start_of(day)
    moments = range(midnight - DAY, midnight + 3 * DAY, MINUTE)
    clocks = [told(zone, moments) for _, zone, _ in history]
    times = [plain(text) for _, _, text in history]
    shifts, running = [], None  # running: whose, since when, until which minute of the day
    for step, now in enumerate(moments):
        holds = sum(since <= now for since, _, _ in history[1:])
        for k in [*(k for k in range(len(history)) if k != holds), holds]:
            for minute in (told % 1440 for told in clocks[k][step]):
                begins = k == holds and minute in times[k]
                if running and (begins or is_end(running, k, minute, times[k])):
                    shifts.append(Shift(running[1], now))
                    running = None
                running = (k, now, times[k][minute]) if begins else running
    return [s for s in shifts if midnight <= s.start < midnight + DAY and s.start < s.end]


def is_end(running: tuple[int, int, int | None], k: int, minute: int, times: Iterable[int]) -> bool:
    """Say whether a running shift has come to the end that its own schedule planned."""
    whose, _, until = running
    return whose == k and (minute in times if until is None else minute == until)


# --- what is drawn -------------------------------------------------------------------------------


@st.composite
def days(draw, zone: str) -> date:
    """Draw a day, mostly one on which the zone's clocks change."""
    first = date(draw(st.sampled_from(YEARS)), 1, 1)
    year = [first + timedelta(days=n) for n in range(365)]
    offsets = [
        datetime(d.year, d.month, d.day, 12, tzinfo=ZoneInfo(zone)).utcoffset() for d in year
    ]
    changes = [d for d, a, b in zip(year[1:], offsets, offsets[1:], strict=False) if a != b]
    return draw(st.sampled_from(changes or year) | st.sampled_from(year))


@st.composite
def shift_times(draw, ranges: bool = True) -> str:
    """Draw shift times, many of them in the hours in which clocks change."""
    night = st.sampled_from([0, 1, 30, 60, 61, 90, 119, 120, 135, 150, 179, 180, 181, 1410])
    found = st.sets(night | st.integers(0, 1439), min_size=1, max_size=5)
    starts = sorted(draw(found))
    parts = []
    for start, following in zip(starts, [*starts[1:], starts[0] + 1440], strict=True):
        length = draw(st.integers(0, min(following - start, 1439))) if ranges else 0
        clocks = [start, (start + length) % 1440] if length else [start]
        parts.append("-".join(f"{minute // 60:02}:{minute % 60:02}" for minute in clocks))
    return ",".join(parts)


zones = st.sampled_from(RICH) | st.sampled_from(ZONES)


@st.composite
def sites(draw, changes: int = 0, ranges: bool = True) -> tuple[list[tuple[int, str, str]], date]:
    """Draw a site's settings and a day, with changes of the settings around that day."""
    zone = draw(zones)
    day = draw(days(zone))
    midnight = start_of(day)
    minute = st.integers(-2 * 1440, 2 * 1440).map(lambda n: midnight + n * MINUTE)
    sinces = sorted(draw(st.sets(minute, min_size=changes, max_size=changes)))
    other = st.just(zone) | zones
    rows = [(since, draw(other), draw(shift_times(ranges))) for since in sinces]
    return [(0, zone, draw(shift_times(ranges))), *rows], day


def found(roster: Roster, day: date) -> list[Shift]:
    """Return the shifts of a roster that start on a day, in UTC, by asking for the next one."""
    midnight = start_of(day)
    shifts, shift = [], roster.next(midnight - 1)
    while shift and shift.start < midnight + DAY:
        shifts.append(shift)
        shift = roster.next(shift.start)
    return shifts


# --- against the reference -----------------------------------------------------------------------


@settings(max_examples=80, deadline=None)
@given(sites())
@example(([(0, "Europe/Madrid", "02:10,02:20-02:40")], date(2026, 3, 29)))
@example(([(0, "Europe/Madrid", "02:30-02:40,02:50")], date(2026, 10, 25)))
@example(([(0, "Pacific/Apia", "06:00-16:00")], date(2011, 12, 30)))
@example(([(0, "Pacific/Apia", "06:00,14:00,22:00")], date(2011, 12, 30)))
@example(([(0, "America/St_Johns", "23:30,00:00,00:01")], date(2008, 11, 2)))
def test_shifts_are_those_that_a_walk_through_the_minutes_finds(site):
    history, day = site

    assert found(Roster.of(history), day) == walked(history, day)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 3).flatmap(sites))
def test_changed_shift_times_are_those_that_a_walk_finds(site):
    history, day = site
    assert found(Roster.of(history), day) == walked(history, day)


# --- properties ----------------------------------------------------------------------------------

probes = st.lists(st.integers(-2 * DAY, 3 * DAY), min_size=1, max_size=20)


@settings(deadline=None)
@given(st.integers(0, 3).flatmap(sites), probes)
def test_the_shift_at_an_instant_contains_it_and_is_found_by_its_start(site, offsets):
    history, day = site
    roster = Roster.of(history)

    for offset in offsets:
        moment = start_of(day) + offset
        shift = roster.at(moment)
        assert shift is None or (shift.start <= moment < shift.end and moment in shift)
        assert shift is None or roster.starting(shift.start) == shift == roster.at(shift.end - 1)
        assert (roster.starting(moment) is not None) == (
            shift is not None and shift.start == moment
        )


@settings(deadline=None)
@given(st.integers(0, 3).flatmap(sites))
def test_shifts_never_overlap_and_between_them_there_is_none(site):
    history, day = site
    roster = Roster.of(history)
    shifts = [shift for n in (-2, -1, 0, 1, 2) for shift in found(roster, day + timedelta(days=n))]

    for one, other in zip(shifts, shifts[1:], strict=False):
        assert one.start < one.end <= other.start < other.end
        assert one.end == other.start or roster.at(one.end) is roster.at(other.start - 1) is None
        assert roster.next(one.start) == roster.next(other.start - 1) == other


@settings(deadline=None)
@given(sites(ranges=False), probes)
def test_without_ranges_every_instant_lies_in_exactly_one_shift(site, offsets):
    history, day = site
    roster = Roster.of(history)

    for offset in offsets:
        moment = start_of(day) + offset
        shift = roster.at(moment)
        assert shift is not None
        assert roster.next(moment) == roster.at(shift.end) == roster.starting(shift.end)
