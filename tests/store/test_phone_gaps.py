from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from sqlalchemy import select

from tests import make
from tests.people import ENGINES, NOON, a_phone, address, fresh_db
from tests.site import open_up
from walkaround.actions.enter import Sender, enter
from walkaround.actions.hear_phone import Word, hear_phone
from walkaround.actions.look_into_phone import look_into_phone
from walkaround.rules.instant import DAY, HOUR, MINUTE
from walkaround.store import phone_gaps
from walkaround.store.db import make_engine, make_session
from walkaround.store.models import PhoneGapRow


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


@pytest.fixture(scope="module")
def shared():
    with fresh_db() as db:
        yield db


def missing(db, phone):
    """Return the numbers that stand in gaps, a number twice if two gaps hold it."""
    found = select(PhoneGapRow).where(PhoneGapRow.phone == phone)
    rows = db.scalars(found.order_by(PhoneGapRow.first))
    return [n for row in rows for n in range(row.first, row.last + 1)]


def come_in(db, phone, numbers, now=NOON):
    for n in numbers:
        phone_gaps.arrived(db, phone, n, now)
    db.flush()


def lacking(db, now):
    return [(one.silent, [gap.first for gap in one.gaps]) for one in phone_gaps.lacking(db, now)]


@settings(deadline=None)
@given(numbers=some.lists(some.integers(1, 30), max_size=40))
def test_what_is_missing_is_what_did_not_come_in_whatever_the_order(shared, numbers):
    phone, _ = a_phone(shared)

    come_in(shared, phone, numbers)

    assert missing(shared, phone) == sorted(set(range(1, max(numbers, default=0))) - set(numbers))


@pytest.mark.parametrize("n", [0, -1, 2**53, 1.0, True and "1", None])
def test_what_is_no_number_is_not_counted(db, n):
    phone, _ = a_phone(db)

    come_in(db, phone, [n])
    come_in(db, "no phone of ours", [7])

    assert missing(db, phone) == []


def test_a_gap_is_shown_when_it_has_been_open_for_a_day(db):
    phone, _ = a_phone(db)
    come_in(db, phone, [1, 2, 4])

    assert lacking(db, NOON + DAY - 1) == []
    assert lacking(db, NOON + DAY) == [(False, [3])]
    come_in(db, phone, [3])
    assert lacking(db, NOON + DAY) == []


def test_a_phone_is_shown_that_falls_silent_with_work_on_it(db):
    phone, _ = a_phone(db)
    hear_phone(db, phone, Word(2, None, False), NOON)

    assert lacking(db, NOON + 12 * HOUR - 1) == []
    assert lacking(db, NOON + 13 * HOUR) == [(True, [])]
    hear_phone(db, phone, Word(2, None, False), NOON + 13 * HOUR)
    assert lacking(db, NOON + 13 * HOUR) == []
    hear_phone(db, phone, Word(0, None, False), NOON + 14 * HOUR)
    assert lacking(db, NOON + 40 * HOUR) == []


def test_a_phone_that_lost_what_it_kept_is_shown_at_once_and_goes_on_after_a_hole(db):
    phone, _ = a_phone(db)
    come_in(db, phone, [1, 2])

    first = hear_phone(db, phone, Word(0, None, True), NOON)
    again = hear_phone(db, phone, Word(0, None, True), NOON)  # the first answer did not get there
    come_in(db, phone, [4])

    assert (first, again, missing(db, phone)) == (3, 3, [3])
    assert lacking(db, NOON) == [(False, [3])]


def test_who_has_asked_is_not_told_again_until_something_new_is_lacking(db):
    phone, _ = a_phone(db)
    come_in(db, phone, [2])
    come_in(db, phone, [4], NOON + DAY - MINUTE)
    hear_phone(db, phone, Word(1, None, False), NOON)

    look_into_phone(db, phone, "301", NOON + DAY)

    assert lacking(db, NOON + DAY) == []
    assert lacking(db, NOON + 2 * DAY) == [(False, [3])]  # was not shown yet when they asked
    hear_phone(db, phone, Word(1, None, False), NOON + 2 * DAY)
    assert lacking(db, NOON + 3 * DAY) == [(True, [3])]


@pytest.mark.parametrize("engine", ENGINES)
def test_numbers_that_come_in_at_the_same_moment_leave_no_gap(engine, request, tmp_path):
    made = make_engine(address(engine, request))
    open_up(made)
    with make_session(made, make.SITE) as db:
        phone, _ = a_phone(db, make.DAWN)

    def send(n):
        unit, body = ("L07", "D02")[n % 2], {"value": 90 + n}
        sent = {**make.entry("hours", body, unit=unit), "device": phone, "n": n}
        with make_session(made, make.SITE) as db:
            return enter(db, sent, Sender("101", True), make.at(30)).result

    with ThreadPoolExecutor(10) as threads:
        results = set(threads.map(send, [7, 3, 10, 1, 5, 2, 9, 4, 8, 6]))

    with make_session(made, make.SITE) as db:
        assert (results, missing(db, phone)) == ({"accepted"}, [])
    made.dispose()
