"""Shifts by hand: midnights, clock changes and changed shift times.

Clock changes are those of the IANA time zone database, read from it with `zdump -v` (release
2025b); the zones and times themselves are our own examples.
"""

import pytest

from walkaround.rules import instant
from walkaround.rules.instant import HOUR
from walkaround.rules.shift import Roster, Shift, ShiftTimesError, ZoneError


def at(text: str) -> int:
    """Return the instant of a short text in UTC."""
    return instant.parse(f"{text}:00Z")


def shown(shift: Shift | None) -> tuple[str, str] | None:
    """Return a shift in short texts in UTC."""
    return shift and (instant.text(shift.start)[:16], instant.text(shift.end)[:16])


def always(zone: str, times: str) -> Roster:
    """Return the roster of a site that never changed its times."""
    return Roster.of([(0, zone, times)])


@pytest.mark.parametrize(
    ("zone", "times", "moment", "expected"),
    [
        # Rule EU: 8 h by the clock are 7 in the night of the gap, 9 in the night of the fold.
        ("Europe/Madrid", "06:00,14:00,22:00", "2026-03-29T00:30", ("28T21:00", "29T04:00")),
        ("Europe/Madrid", "06:00,14:00,22:00", "2026-10-25T03:00", ("24T20:00", "25T05:00")),
        ("Europe/Madrid", "02:30", "2026-03-29T00:59", ("28T01:30", "29T01:00")),
        ("Europe/Madrid", "02:30", "2026-03-29T01:00", ("29T01:00", "30T00:30")),
        ("Europe/Madrid", "02:30", "2026-10-25T01:30", ("25T00:30", "26T01:30")),
        ("Europe/Madrid", "22:00-02:30", "2026-03-28T23:00", ("28T21:00", "29T01:00")),
        ("Europe/Madrid", "22:00-02:30", "2026-03-29T01:00", None),
        ("Europe/Madrid", "22:00-02:30", "2026-10-25T00:30", None),
        ("Europe/Madrid", "02:10-02:40", "2026-03-29T01:00", None),
        ("Europe/Madrid", "06:00-16:00", "2026-11-25T14:59", ("25T05:00", "25T15:00")),
        ("Europe/Madrid", "06:00-16:00", "2026-11-25T15:00", None),
        ("Asia/Kathmandu", "06:00,18:00", "2026-11-25T00:15", ("25T00:15", "25T12:15")),
        ("Australia/Lord_Howe", "22:00-06:00", "2026-10-03T15:30", ("03T11:30", "03T19:00")),
        ("Africa/Cairo", "00:00,12:00", "2023-04-27T22:00", ("27T22:00", "28T09:00")),
        ("Pacific/Apia", "06:00,14:00,22:00", "2011-12-30T10:00", ("30T10:00", "30T16:00")),
        ("Pacific/Apia", "06:00-16:00", "2011-12-30T10:00", None),
    ],
)
def test_a_shift_goes_by_the_clock_on_the_wall(zone, times, moment, expected):
    whole = expected and tuple(moment[:8] + short for short in expected)

    assert shown(always(zone, times).at(at(moment))) == whole


def test_a_start_belongs_to_its_shift_and_an_end_to_the_next():
    roster = always("Europe/Madrid", "06:00,14:00,22:00")
    start = at("2026-11-25T13:00")

    assert roster.starting(start) == roster.at(start) == Shift(start, start + 8 * HOUR)
    assert roster.at(start - 1) == Shift(start - 8 * HOUR, start)
    assert roster.starting(start - 1) is roster.starting(start + 1) is None
    assert roster.next(start) == roster.at(start + 8 * HOUR)


def changed(since: str, before: str, after: str) -> Roster:
    return Roster.of([(0, "UTC", before), (at(since), "UTC", after)])


def test_a_shift_already_begun_keeps_its_end_when_the_times_change():
    roster = changed("2026-11-25T10:00", "06:00,14:00,22:00", "08:00,20:00")

    assert shown(roster.at(at("2026-11-25T13:59"))) == ("2026-11-25T06:00", "2026-11-25T14:00")
    assert roster.at(at("2026-11-25T14:00")) is None
    assert shown(roster.next(at("2026-11-25T10:00"))) == ("2026-11-25T20:00", "2026-11-26T08:00")


def test_a_new_start_that_comes_sooner_ends_a_shift_already_begun():
    roster = changed("2026-11-25T10:00", "06:00-16:00", "12:00-20:00")

    assert shown(roster.at(at("2026-11-25T11:00"))) == ("2026-11-25T06:00", "2026-11-25T12:00")
    assert shown(roster.at(at("2026-11-25T12:00"))) == ("2026-11-25T12:00", "2026-11-25T20:00")


def test_new_times_hold_from_their_very_instant():
    roster = changed("2026-11-25T14:00", "06:00,14:00", "14:00-15:00")

    assert shown(roster.at(at("2026-11-25T14:00"))) == ("2026-11-25T14:00", "2026-11-25T15:00")
    assert shown(roster.at(at("2026-11-25T13:59"))) == ("2026-11-25T06:00", "2026-11-25T14:00")


def test_of_two_settings_at_one_instant_the_later_one_given_counts():
    roster = Roster.of([(0, "UTC", "06:00"), (5, "UTC", "07:00"), (5, "UTC", "08:00")])

    assert shown(roster.at(at("2026-11-25T12:00"))) == ("2026-11-25T08:00", "2026-11-26T08:00")


def test_the_first_settings_hold_from_the_beginning():
    roster = Roster.of([(at("2026-11-25T10:00"), "UTC", "06:00")])

    assert shown(roster.at(at("1999-01-01T07:00"))) == ("1999-01-01T06:00", "1999-01-02T06:00")


def test_the_next_shift_is_found_beyond_settings_that_start_none():
    moves = [(at(f"2026-11-{day}T10:00"), "UTC", "09:00-09:30") for day in range(10, 25)]
    stops = [(at(f"2026-11-{day}T08:00"), "UTC", "07:00-07:30") for day in range(11, 25)]
    roster = Roster.of([(0, "UTC", "06:00-06:30"), *moves, *stops])

    assert shown(roster.next(at("2026-11-10T09:00"))) == ("2026-11-25T09:00", "2026-11-25T09:30")


@pytest.mark.parametrize("text", ["0001-01-01T00:00", "9999-12-31T23:59"])
@pytest.mark.parametrize("beyond", [0, 2**70, -(2**70)])
def test_at_the_ends_of_the_calendar_there_is_no_shift(text, beyond):
    roster = always("Europe/Madrid", "06:00")
    moment = at(text) + beyond

    assert roster.at(moment) is roster.starting(moment) is roster.next(moment) is None


@pytest.mark.parametrize(
    ("history", "error"),
    [
        ([], ShiftTimesError),
        ([(0, "Europe/Madrid", "")], ShiftTimesError),
        ([(0, "Europe/Madrid", "06:00"), (1, "Nowhere/Else", "06:00")], ZoneError),
    ],
)
def test_a_roster_without_good_settings_is_refused(history, error):
    with pytest.raises(error):
        Roster.of(history)
