"""The hour meter, also across changes; the sums are done by hand."""

import pytest

from tests import books, make
from tests.books import entry, walk, withdraw
from walkaround.rules.meter import Meter, MeterChange

# 84 h when the unit came; at minute 20 the meter is changed at 103 for one that shows 5.
CHANGE = MeterChange(make.at(20), old=103, new=5)
CHANGED = entry("meter_change", {"old": 103, "new": 5, "note": "n"}, 20)


def hours(value: float, minutes: float = 10, **more) -> books.Entry:
    return entry("hours", {"value": value}, minutes, **more)


def standing(*entries: books.Entry) -> float | None:
    return books.facts_of(entries).meter.standing


def test_a_meter_stands_at_its_highest_reading():
    assert standing() == 84
    assert standing(hours(90), hours(88, 15)) == 90
    assert standing(hours(80)) == 84


def test_a_change_starts_it_anew_and_late_readings_of_the_old_one_stay_behind():
    assert standing(hours(100), CHANGED) == 5
    assert standing(CHANGED, hours(100), hours(102, 19.99)) == 5
    assert standing(CHANGED, hours(7, 25), hours(6, 30)) == 7


@pytest.mark.parametrize(
    "doubtful",
    [
        hours(200, confirmed=False),
        entry("hours", {"value": 200, "insisted": True}),
        walk(more={"hours": 200}, confirmed=False),
        entry(
            "clear",
            {
                "defects": [make.entry("x", {})["id"]],
                "outcome": "repaired",
                "work": "w",
                "hours": 200,
            },
            confirmed=False,
        ),
        entry("fill", {"fluid": "diesel", "litres": 3, "hours": 200}, confirmed=False),
    ],
)
def test_doubtful_readings_are_left_out(doubtful):
    assert standing(doubtful) == 84


def test_a_reading_that_is_withdrawn_is_left_out_and_so_is_a_change():
    wrong = hours(200)

    assert standing(wrong, withdraw(wrong)) == 84
    assert standing(hours(90), CHANGED, withdraw(CHANGED, by=books.SARA)) == 90


@pytest.mark.parametrize(
    ("kind", "more"),
    [
        ("service", {"interval": "250 h", "hours": 90, "work": "oil"}),
        ("fill", {"fluid": "diesel", "litres": 3, "hours": 90}),
        (
            "clear",
            {
                "defects": [make.entry("x", {})["id"]],
                "outcome": "repaired",
                "work": "w",
                "hours": 90,
            },
        ),
    ],
)
def test_whatever_states_hours_is_a_reading(kind, more):
    assert standing(entry(kind, more)) == 90
    assert standing(walk(more={"hours": 90})) == 90


@pytest.mark.parametrize(
    ("named_at", "shown", "reached"),
    [(10, 21.9, False), (10, 22, True), (20, 119.9, False), (20, 120, True), (30, 120, True)],
)
def test_hours_named_before_a_change_go_on_by_old_less_new(named_at, shown, reached):
    """120 h of the old meter are 17 h after the change, at 22 h of the new one."""
    assert Meter((CHANGE,), shown).reached(120, make.at(named_at)) is reached


def test_two_changes_add_up():
    """10 h to the first change, 103 - 5 = 98 h in it, 50 - 0 = 50 h in the second."""
    meter = Meter((CHANGE, MeterChange(make.at(40), old=50, new=0)), 2)

    assert meter.worked(2, make.at(50)) == 2 + 98 + 50
    assert meter.worked(2, make.at(30)) == 2 + 98
    assert meter.worked(2, make.at(10)) == 2


def test_where_nothing_was_read_nothing_is_reached():
    assert not Meter().reached(0.1, make.DAWN)
    assert Meter().standing is None
