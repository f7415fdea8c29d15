"""Instants against RFC 3339 (July 2002): sections 5.6 and 5.7, examples of section 5.8."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from walkaround.rules import instant

FIRST, LAST = -62_135_596_800_000, 253_402_300_799_999  # years 0001 and 9999, proleptic Gregorian


# RFC 3339, section 5.8 (its two leap seconds stand below). Right: `date -u -d TEXT +%s` (GNU).
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1985-04-12T23:20:50.52Z", 482_196_050_520),
        ("1996-12-19T16:39:57-08:00", 851_042_397_000),
        ("1937-01-01T12:00:27.87+00:20", -1_041_337_172_130),
        ("1985-04-12t23:20:50.52z", 482_196_050_520),  # section 5.6: T and Z may be small
        ("1970-01-01T00:00:00-00:00", 0),  # section 4.3: local offset unknown
        ("1970-01-01T00:00:00.123999999Z", 123),
        ("1969-12-31T23:59:59.9999Z", -1),  # cut downwards, also before 1970
        ("0001-01-01T00:00:00Z", FIRST),
        ("9999-12-31T23:59:59.999999999Z", LAST),
    ],
)
def test_a_date_time_of_rfc_3339_is_read(text, expected):
    assert instant.parse(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2026-01-31",
        "2026-01-31T05:45:00",
        "2026-01-31 05:45:00Z",
        "2026-01-31T05:45Z",
        "2026-01-31T05:45:00.Z",
        "2026-01-31T05:45:00,5Z",
        "2026-01-31T05:45:00Z\n",
        "20260131T054500Z",
        "2026-W05-6T05:45:00Z",
        "٢٠٢٦-01-31T05:45:00Z",
        "0000-01-01T00:00:00Z",
        "2026-00-31T05:45:00Z",
        "2026-02-29T05:45:00Z",
        "2026-01-31T24:00:00Z",
        "2026-01-31T05:60:00Z",
        "1990-12-31T23:59:60Z",  # a leap second (section 5.8): UTC milliseconds cannot count it
        "2026-01-31T05:45:00+0100",
        "2026-01-31T05:45:00+24:00",
        "2026-01-31T05:45:00+05:60",  # section 5.6: time-minute is 00 to 59
        "0001-01-01T00:00:00+00:01",
        "9999-12-31T23:59:59-00:01",
    ],
)
def test_anything_else_is_refused_with_what_was_read(text):
    with pytest.raises(ValueError, match=re.escape(f"{text!r} is not a date and time")):
        instant.parse(text)


@pytest.mark.parametrize("thing", [None, 5, 1.5, True, b"2026-01-31T05:45:00Z", ["x"], {}])
def test_what_is_no_text_is_refused(thing):
    with pytest.raises(ValueError, match="is not a date and time with an offset"):
        instant.parse(thing)


@given(st.text(alphabet="0129-:.+TZtz ", max_size=40))
@example("9999-12-31T23:59:59.9-23:59")
@example("0001-01-01T00:00:00+23:59")
def test_whatever_comes_is_read_or_refused_as_a_value(text):
    try:
        read = instant.parse(text)
    except ValueError:
        return

    assert FIRST <= read <= LAST


@given(st.integers(FIRST, LAST))
@example(FIRST)
@example(LAST)
def test_text_and_parse_undo_each_other(moment):
    assert instant.parse(instant.text(moment)) == moment


@pytest.mark.parametrize("moment", [FIRST - 1, LAST + 1, 2**70, -(2**70)])
def test_an_instant_outside_the_calendar_has_no_text(moment):
    with pytest.raises(ValueError, match="outside the years 0001 to 9999"):
        instant.text(moment)


@pytest.mark.parametrize(
    ("moment", "expected"),
    [
        (0, "1970-01-01T00:00:00Z"),
        (123, "1970-01-01T00:00:00.123Z"),
        (FIRST, "0001-01-01T00:00:00Z"),
    ],
)
def test_milliseconds_are_written_only_where_there_are_some(moment, expected):
    assert instant.text(moment) == expected


@given(
    st.integers(-86_399_999, 86_399_999),
    st.integers(-(24 * 60 - 1), 24 * 60 - 1),
)
def test_an_offset_is_taken_off(moment, minutes):
    wall = instant.text(moment + minutes * instant.MINUTE).removesuffix("Z")
    sign, size = "-+"[minutes >= 0], abs(minutes)

    assert instant.parse(f"{wall}{sign}{size // 60:02}:{size % 60:02}") == moment


@pytest.mark.parametrize(
    ("moment", "by", "expected"),
    [(0, -5, -5), (FIRST, -1, FIRST), (LAST, 10**15, LAST), (LAST, -1, LAST - 1)],
)
def test_an_instant_is_moved_no_farther_than_its_text_can_say(moment, by, expected):
    assert instant.moved(moment, by) == expected
