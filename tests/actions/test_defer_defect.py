import pytest

from tests import make
from tests.door import MILAN, defect_id
from walkaround.actions.clear_defect import AlreadyCleared, NotOfUnit
from walkaround.actions.defer_defect import (
    Critical,
    HoursReached,
    Past,
    Terms,
    TooFarOn,
    defer_defect,
)
from walkaround.actions.make_entry import Signer
from walkaround.rules.instant import DAY
from walkaround.store import settings

NOW = make.at(30)
MILANS = Signer("201", None, "019abcde-0000-7000-8000-000000000001")


def terms(until=NOW + DAY, hours=None):
    return Terms("Level ground only.", until, hours)


@pytest.fixture
def seat(door):
    return defect_id(door.walk(seat="defect"), "seat")


def test_a_deferred_defect_lets_the_unit_run_under_restrictions(door, seat):
    defer_defect(door.db, "L07", (seat,), terms(), MILANS, NOW)

    assert door.codes() == ["deferred"]
    assert door.codes(at=NOW + DAY)[0] == "deferral_over"


def test_what_can_kill_is_not_deferred_not_even_among_others(door, seat):
    tyre = defect_id(door.walk(minutes=11, tyre="defect"), "tyre")

    with pytest.raises(Critical):
        defer_defect(door.db, "L07", (seat, tyre), terms(), MILANS, NOW)


@pytest.mark.parametrize(
    ("asked", "error"),
    [
        (terms(until=NOW), Past),
        (terms(until=NOW + 30 * DAY + 1), TooFarOn),
        (terms(hours=84), HoursReached),
    ],
)
def test_an_end_that_is_none_is_refused(door, seat, asked, error):
    with pytest.raises(error):
        defer_defect(door.db, "L07", (seat,), asked, MILANS, NOW)

    assert door.codes() == ["defect"]


def test_the_longest_deferral_is_taken(door, seat):
    assert defer_defect(door.db, "L07", (seat,), terms(NOW + 30 * DAY), MILANS, NOW)


def test_the_site_says_what_is_too_far_on(door, seat):
    settings.put(door.db, "defer_days", "2", 0)

    with pytest.raises(TooFarOn, match="2 days"):
        defer_defect(door.db, "L07", (seat,), terms(NOW + 2 * DAY + 1), MILANS, NOW)


def test_neither_what_is_cleared_nor_what_is_unknown_is_deferred(door, seat):
    door.send("clear", {"defects": [seat], "outcome": "repaired", "work": "x"}, MILAN)

    with pytest.raises(AlreadyCleared):
        defer_defect(door.db, "L07", (seat,), terms(), MILANS, NOW)
    with pytest.raises(NotOfUnit):
        defer_defect(door.db, "L07", (MILANS.entry,), terms(), MILANS, NOW)
