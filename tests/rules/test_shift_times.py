"""Shift times as people write them; the words of a refusal are our own (no outside source)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkaround.rules.shift_times import ShiftTimesError, Time, parse_times


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("06:00", [(360, None)]),
        ("06:00,14:00,22:00", [(360, None), (840, None), (1320, None)]),
        ("22:00, 06:00 ,14:00", [(360, None), (840, None), (1320, None)]),
        ("06:00-16:00", [(360, 960)]),
        (" 06:00 - 16:00 ", [(360, 960)]),
        ("22:00-06:00", [(1320, 360)]),
        ("06:00-10:00,14:00", [(360, 600), (840, None)]),
        ("06:00,14:00-22:00", [(360, None), (840, 1320)]),
        ("22:00-06:00,06:00-14:00", [(360, 840), (1320, 360)]),
        ("00:00-23:59,23:59", [(0, 1439), (1439, None)]),
        ("00:01-00:00", [(1, 0)]),
    ],
)
def test_times_and_ranges_are_read_in_the_order_of_the_day(text, expected):
    assert parse_times(text) == tuple(Time(start, end) for start, end in expected)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "No shift times are given; write shift times like 06:00,14:00,22:00 or 06:00-16:00"),
        (" , ", "No shift times are given"),
        ("06:00,,14:00", "a comma too many in '06:00,,14:00'"),
        ("06:00,", "a comma too many"),
        ("24:00", "'24:00' is not a time of day from 00:00 to 23:59"),
        ("06:60", "'06:60' is not a time of day"),
        ("6:00", "'6:00' is not a time of day"),
        ("06:00:00", "'06:00:00' is not a time of day"),
        ("06.00", "'06.00' is not a time of day"),
        ("06:00;14:00", "'06:00;14:00' is not a time of day"),
        ("-06:00", "'' is not a time of day"),
        ("06:00-", "'' is not a time of day"),
        ("06:00-14:00-22:00", "'14:00-22:00' is not a time of day"),
        ("٠٦:٠٠", "is not a time of day"),
        ("06:00-06:00", "06:00-06:00 ends where it starts; write 06:00 alone"),
        ("06:00,14:00,06:00", "Two shifts start at 06:00: 06:00 and 06:00; leave one"),
        ("06:00,06:00-16:00", "Two shifts start at 06:00: 06:00 and 06:00-16:00; leave one"),
        ("06:00-16:00,14:00-22:00", "06:00-16:00 is not over yet when 14:00-22:00 starts; let it"),
        ("06:00-16:00,15:59", "let it end at 15:59 or before"),
        ("22:00-06:00,05:00", "22:00-06:00 is not over yet when 05:00 starts"),
        ("22:00-06:00,23:00-23:30", "22:00-06:00 is not over yet when 23:00-23:30 starts"),
    ],
)
def test_a_refusal_says_what_is_wrong_and_what_would_be_right(text, words):
    with pytest.raises(ShiftTimesError) as refusal:
        parse_times(text)

    assert words in str(refusal.value)
    assert str(refusal.value).endswith(".")


@given(st.text(alphabet="0123456789:-, x", max_size=30))
def test_whatever_is_written_is_read_or_refused(text):
    try:
        times = parse_times(text)
    except ShiftTimesError:
        return

    assert times == parse_times(",".join(str(time) for time in times))
