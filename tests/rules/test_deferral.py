"""What lets a unit run with a defect, and until when (design, section 3: Deferring)."""

from dataclasses import replace

import pytest

from tests import books, make
from tests.books import clear, codes, defect_id, defer, entry, judge, walk

SEAT = "seat"


def bad_seat(minutes: float = 5, **more) -> tuple[books.Entry, str]:
    """Return a walk-around on which a seat fails, and the defect's id."""
    found = walk(minutes, seat="defect", **more)
    return found, defect_id(found, SEAT)


def ids(entries, code: str, minutes: float = 30) -> list[str]:
    """Return the defects that a reason speaks of."""
    reasons = judge(entries, minutes).reasons
    return sorted(id for r in reasons if r.code == code for id in r.defects)


@pytest.mark.parametrize(
    ("minutes", "code"),
    [(14.99, "defect"), (15, "deferred"), (299.99, "deferred"), (300, "deferral_over")],
)
def test_a_deferral_holds_from_its_making_until_its_end(minutes, code):
    found, id = bad_seat()

    assert code in codes([found, defer(id, until=300)], minutes)


@pytest.mark.parametrize(
    ("hours", "code"), [(119.9, "deferred"), (120, "deferral_over"), (121, "deferral_over")]
)
def test_a_deferral_ends_when_the_hours_are_reached(hours, code):
    found, id = bad_seat()
    reading = entry("hours", {"value": hours}, 20)

    assert codes([found, defer(id, hours=120), reading]) == [code]


@pytest.mark.parametrize(("value", "code"), [(21, "deferred"), (22, "deferral_over")])
def test_hours_go_on_across_a_change_of_meters(value, code):
    """From 100 to 120 are 20 h; the old meter went on to 103, so 17 h are left; 5 + 17 = 22."""
    found, id = bad_seat()
    before = entry("hours", {"value": 100}, 10)
    change = entry("meter_change", {"old": 103, "new": 5, "note": "n"}, 20)

    entries = [found, before, defer(id, hours=120), change, entry("hours", {"value": value}, 25)]

    assert codes(entries) == [code]


def test_the_last_deferral_by_its_making_counts_whichever_came_last():
    found, id = bad_seat()
    long, short = defer(id, until=300, minutes=15), defer(id, until=25, minutes=16)

    assert codes([found, long, short]) == codes([found, short, long]) == ["deferral_over"]
    assert codes([found, long, replace(short, made_at=make.at(14))]) == ["deferred"]


def test_of_deferrals_made_at_one_instant_all_must_be_in_force():
    found, id = bad_seat()
    three = [defer(id, until=300), defer(id, until=200), defer(id, hours=90)]
    reading = entry("hours", {"value": 90}, 20)

    assert codes([found, *three], 30) == ["deferred"]
    assert codes([found, *three, reading], 30) == ["deferral_over"]
    assert "deferral_over" in codes([found, *three], 200)
    assert judge([found, *three], 30).valid_until == make.at(200)


def critical_walk() -> tuple[books.Entry, str, str]:
    found = walk(5, seat="defect", tyre="defect")
    return found, defect_id(found, SEAT), defect_id(found, "tyre")


def test_a_deferral_that_names_a_critical_defect_counts_for_nothing_of_what_it_names():
    found, seat, tyre = critical_walk()

    assert ids([found, defer(seat, tyre)], "defect") == sorted([seat, tyre])
    assert ids([found, defer(seat)], "deferred") == [seat]


def test_a_void_deferral_leaves_the_one_before_it_in_force():
    found, seat, tyre = critical_walk()
    entries = [found, clear(tyre), defer(seat, minutes=15), defer(seat, tyre, until=10, minutes=16)]

    assert codes(entries) == ["deferred"]


def test_a_deferral_is_void_also_when_it_came_before_the_critical_defect_was_known():
    found, id = bad_seat()
    report = entry("defect", {"what": "bolts missing", "critical": True}, 6)

    assert codes([found, defer(id, report.id)]) == ["deferred"]
    assert codes([found, defer(id, report.id), report]) == ["defect", "defect"]


def test_a_withdrawn_deferral_counts_for_nothing():
    found, id = bad_seat()
    made = defer(id)
    back = entry(
        "correction", {"entry": made.id, "what": "no", "withdraws": True}, 20, by=books.MILAN
    )

    assert codes([found, made, back]) == ["defect"]


def test_a_deferral_may_lie_in_the_future():
    found, id = bad_seat()

    assert codes([found, defer(id, minutes=33)], 32) == ["defect"]
    assert codes([found, defer(id, minutes=33)], 33) == ["deferred"]
