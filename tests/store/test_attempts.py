import pytest

from tests.people import NOON, fresh_db
from walkaround.rules.instant import DAY, MINUTE, SECOND
from walkaround.store import attempts
from walkaround.store.attempts import Try
from walkaround.store.models.people import AttemptRow

HERE = Try("101", "phone-1", "192.0.2.1")


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


def counted(db):
    return {(row.scope, row.subject): row.failures for row in db.query(AttemptRow)}


def test_a_try_counts_for_the_person_the_phone_and_the_address(db):
    attempts.take(db, HERE, NOON)

    assert counted(db) == {
        ("person_on_phone", "101 phone-1"): 1,
        ("person", "101"): 1,
        ("phone", "phone-1"): 1,
        ("address", "192.0.2.1"): 1,
    }


def test_a_try_for_nobody_counts_for_the_place_alone(db):
    attempts.take(db, Try(None, "phone-1", None), NOON)

    assert counted(db) == {("phone", "phone-1"): 1}


def test_a_try_that_comes_too_soon_is_refused_and_not_counted(db):
    taken = [attempts.take(db, HERE, NOON) for _ in range(5)]

    assert taken == [True, True, True, False, False]
    assert counted(db)["person_on_phone", "101 phone-1"] == 3


def test_a_right_pin_clears_the_person_and_gives_the_place_its_try_back(db):
    attempts.take(db, HERE, NOON)
    attempts.take(db, HERE, NOON)

    attempts.give_back(db, HERE, NOON)

    assert counted(db) == {("phone", "phone-1"): 1, ("address", "192.0.2.1"): 1}


def test_failures_of_one_person_slow_nobody_else_and_no_other_phone(db):
    for _ in range(3):
        attempts.take(db, HERE, NOON)

    assert attempts.take(db, Try("102", "phone-1", "192.0.2.1"), NOON)
    assert attempts.take(db, Try("101", "phone-2", "192.0.2.1"), NOON)
    assert not attempts.take(db, HERE, NOON)


def test_a_person_without_number_in_common_keeps_their_count(db):
    for number in ("101", "1010"):
        attempts.take(db, Try(number, "phone-1", None), NOON)

    attempts.forget_person(db, "101")

    assert counted(db) == {
        ("person_on_phone", "1010 phone-1"): 1,
        ("person", "1010"): 1,
        ("phone", "phone-1"): 2,
    }


def test_fifty_failures_over_all_phones_close_the_account(db):
    taken = [attempts.take(db, Try("101", f"phone-{n}", None), NOON + n) for n in range(60)]

    assert taken == [True] * 50 + [False] * 10


def test_old_counts_of_places_are_swept_away(db):
    attempts.take(db, Try(None, "phone-1", "192.0.2.1"), NOON)

    attempts.give_back(db, Try("101", "phone-2", None), NOON + DAY + MINUTE)

    assert ("phone", "phone-1") not in counted(db)


def test_a_wait_ends(db):
    for _ in range(3):
        attempts.take(db, HERE, NOON)

    assert not attempts.take(db, HERE, NOON + SECOND - 1)
    assert attempts.take(db, HERE, NOON + SECOND)
