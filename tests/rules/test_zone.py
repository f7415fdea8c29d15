"""Zones and clock changes against the IANA time zone database.

The changes in the table were read from the compiled database with `zdump -v` (release 2025b);
zoneinfo reads the same database from the computer or from the package tzdata (2026f when written).
"""

from datetime import date

import pytest

from walkaround.rules import instant
from walkaround.rules.zone import ZoneError, first_instant, zone_named


# Rules named as in the database's own source files.
@pytest.mark.parametrize(
    ("zone", "day", "clock", "expected"),
    [
        # Rule EU, last Sunday of March and October, 01:00 UTC: a gap, and a fold.
        ("Europe/Madrid", "2026-03-29", "01:59", "2026-03-29T00:59:00Z"),
        ("Europe/Madrid", "2026-03-29", "02:00", "2026-03-29T01:00:00Z"),
        ("Europe/Madrid", "2026-03-29", "02:30", "2026-03-29T01:00:00Z"),
        ("Europe/Madrid", "2026-03-29", "03:00", "2026-03-29T01:00:00Z"),
        ("Europe/Madrid", "2026-03-29", "03:01", "2026-03-29T01:01:00Z"),
        ("Europe/Madrid", "2026-10-25", "02:00", "2026-10-25T00:00:00Z"),
        ("Europe/Madrid", "2026-10-25", "02:30", "2026-10-25T00:30:00Z"),
        ("Europe/Madrid", "2026-10-25", "03:00", "2026-10-25T02:00:00Z"),
        # Rule StJohns: half-hour offset; until 2011 the clocks changed at 00:01.
        ("America/St_Johns", "2026-03-08", "02:30", "2026-03-08T05:30:00Z"),
        ("America/St_Johns", "2026-11-01", "01:30", "2026-11-01T04:00:00Z"),
        ("America/St_Johns", "2008-03-09", "00:30", "2008-03-09T03:31:00Z"),
        ("America/St_Johns", "2008-11-01", "23:30", "2008-11-02T02:00:00Z"),
        ("America/St_Johns", "2008-11-02", "00:00", "2008-11-02T02:30:00Z"),
        # Rule LH: the clocks change by half an hour.
        ("Australia/Lord_Howe", "2026-10-04", "02:15", "2026-10-03T15:30:00Z"),
        ("Australia/Lord_Howe", "2026-04-05", "01:45", "2026-04-04T14:45:00Z"),
        ("Australia/Lord_Howe", "2026-04-05", "02:00", "2026-04-04T15:30:00Z"),
        # No clock changes, +05:45.
        ("Asia/Kathmandu", "2026-11-25", "06:00", "2026-11-25T00:15:00Z"),
        # Zone Pacific/Apia: Friday 30 December 2011 was left out.
        ("Pacific/Apia", "2011-12-29", "23:59", "2011-12-30T09:59:00Z"),
        ("Pacific/Apia", "2011-12-30", "00:00", "2011-12-30T10:00:00Z"),
        ("Pacific/Apia", "2011-12-30", "14:00", "2011-12-30T10:00:00Z"),
        ("Pacific/Apia", "2011-12-31", "00:00", "2011-12-30T10:00:00Z"),
        ("Pacific/Apia", "2011-12-31", "06:00", "2011-12-30T16:00:00Z"),
        # Rules Brazil and Egypt: a day without midnight; a midnight that comes after 23:00 twice.
        ("America/Sao_Paulo", "2018-11-04", "00:00", "2018-11-04T03:00:00Z"),
        ("America/Sao_Paulo", "2018-02-17", "23:30", "2018-02-18T01:30:00Z"),
        ("America/Sao_Paulo", "2018-02-18", "00:00", "2018-02-18T03:00:00Z"),
        ("Africa/Cairo", "2023-04-28", "00:30", "2023-04-27T22:00:00Z"),
        ("Africa/Cairo", "2026-10-29", "23:00", "2026-10-29T20:00:00Z"),
    ],
)
def test_a_skipped_time_is_the_change_and_of_two_the_first(zone, day, clock, expected):
    minute = int(clock[:2]) * 60 + int(clock[3:])

    found = first_instant(zone, date.fromisoformat(day).toordinal(), minute)

    assert instant.text(found) == expected


def test_a_zone_of_the_database_is_known():
    assert zone_named("America/Argentina/Buenos_Aires").key == "America/Argentina/Buenos_Aires"
    assert zone_named("UTC").key == "UTC"


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("Europe/Madird", "Europe/Madrid"),
        ("Madrid", "Europe/Madrid"),
        ("europe/madrid", "Europe/Madrid"),
        ("Europe/Madrid ", "Europe/Madrid"),
        ("Europe", "/"),
        ("", "/"),
        ("../../etc/passwd", "/"),
        ("/Europe/Madrid", "Europe/Madrid"),
        ("Europe/Madrid\0", "Europe/Madrid"),
        ("zone.tab", "/"),
        ("right/Europe/Madrid", "Europe/Madrid"),
        ("localtime", "/"),
        ("+02:00", "/"),
        ("x" * 5000, "/"),
    ],
)
def test_an_unknown_zone_is_refused_with_a_near_one(name, near):
    with pytest.raises(ZoneError) as refusal:
        zone_named(name)

    assert near in str(refusal.value).rpartition("like ")[2]
    assert len(str(refusal.value)) < 200
