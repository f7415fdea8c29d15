"""What makes an entry unconfirmed besides its PIN (design, section 3: Clocks)."""

import pytest

from tests import books, make
from walkaround.rules import instant
from walkaround.rules.entry import CLOCK, LEFT, LIST
from walkaround.rules.instant import MINUTE, SECOND
from walkaround.rules.trouble import correction, trouble

WALK = books.walk().body
HOURS = books.entry("hours", {"value": 90}).body


def found(body=HOURS, made=10, received=10, enrolled=None, left=None) -> set[str]:
    at = [None if minutes is None else make.at(minutes) for minutes in (enrolled, left)]
    return set(trouble(body, make.at(made), make.at(received), books.LISTS, *at))


@pytest.mark.parametrize(
    ("skew", "moved"),
    [
        (0, 0),
        (2 * MINUTE - 1, 0),
        (-2 * MINUTE + 1, 0),
        (2 * MINUTE, 2 * MINUTE),
        (-2 * MINUTE, -2 * MINUTE),
        (3600 * SECOND, 3600 * SECOND),
    ],
)
def test_two_minutes_count_as_none_and_from_there_on_all(skew, moved):
    assert correction(skew) == moved


@pytest.mark.parametrize(("ahead", "nonsense"), [(5, False), (5.001, True), (-9999, False)])
def test_more_than_five_minutes_into_the_future_are_nonsense(ahead, nonsense):
    assert found(made=10 + ahead, received=10) == ({CLOCK} if nonsense else set())


@pytest.mark.parametrize(("enrolled", "nonsense"), [(9, False), (10, False), (10.001, True)])
def test_nothing_was_made_before_its_phone_was_enrolled(enrolled, nonsense):
    assert found(enrolled=enrolled) == ({CLOCK} if nonsense else set())


@pytest.mark.parametrize(("left", "gone"), [(10.001, False), (10, True), (9, True)])
def test_whoever_has_left_signs_nothing_more(left, gone):
    assert found(left=left) == ({LEFT} if gone else set())


@pytest.mark.parametrize(("finished", "nonsense"), [(2, False), (1.99, True)])
def test_a_walk_ends_after_its_start(finished, nonsense):
    times = {
        "started_at": "2026-11-25T06:02:00+01:00",
        "finished_at": instant.text(make.at(finished)),
    }

    assert found(books.walk(more=times).body) == ({CLOCK} if nonsense else set())


@pytest.mark.parametrize(
    "walk",
    [
        books.walk(more={"checklist": "x"}),
        books.walk(more={"version": "0" * 64}),
        books.walk(bonnet="in_order"),
    ],
)
def test_an_unknown_list_version_or_item_is_trouble(walk):
    assert found(walk.body) == {LIST}
    assert found(WALK) == set()
