from concurrent.futures import ThreadPoolExecutor

import pytest
from argon2 import PasswordHasher

from tests.people import ENGINES, NOON, PIN, SITE, a_phone, address, fresh_db, some_keys, somebody
from walkaround.actions.add_token import add_token
from walkaround.actions.check_pin import CHECKS_A_BATCH, check_pin, check_pins
from walkaround.actions.set_person import set_person
from walkaround.actions.shut_out_phone import shut_out_phone
from walkaround.rules.instant import HOUR, MINUTE, SECOND
from walkaround.store import people, pins, tokens
from walkaround.store.db import make_session
from walkaround.store.models.people import AttemptRow

WRONG = "95172846"


@pytest.fixture
def db():
    with fresh_db() as db:
        somebody(db, "101")
        yield db


@pytest.fixture
def phone(db):
    return a_phone(db)[0]


@pytest.fixture
def hashed(monkeypatch, db):
    """Every time a PIN is verified: whether a transaction was open meanwhile."""
    calls = []
    matches = pins.matches

    def noted(*args):
        calls.append(db.in_transaction())
        return matches(*args)

    monkeypatch.setattr(pins, "matches", noted)
    return calls


def check(db, phone, pin=PIN, number="101", now=NOON, address="192.0.2.1"):
    return check_pin(db, some_keys(), number, pin, phone, now, address)


def counted(db):
    return {row.scope: row.failures for row in db.query(AttemptRow) if row.failures}


def test_the_right_pin_is_right_and_a_wrong_one_wrong(db, phone):
    assert check(db, phone)
    assert not check(db, phone, WRONG)


def test_a_right_pin_leaves_no_count_behind(db, phone):
    check(db, phone)

    assert counted(db) == {}


@pytest.mark.parametrize("place", [None, "no phone", "shut out"])
def test_without_an_enrolled_phone_a_pin_counts_for_nothing_and_against_nobody(
    db, phone, hashed, place
):
    shut_out_phone(db, phone, NOON)
    place = phone if place == "shut out" else place

    answers = [check(db, place, pin) for pin in (PIN, WRONG) * 100]

    assert not any(answers)
    assert counted(db) == {}
    assert hashed == []  # strangers cannot keep the processor busy either


def slowed(db, phone):
    for _ in range(3):
        check(db, phone, WRONG)


SAME_LOOK = {
    "wrong": lambda db, phone: check(db, phone, WRONG),
    "unknown": lambda db, phone: check(db, phone, number="999"),
    "no number at all": lambda db, phone: check(db, phone, number="' or 1=1\x00"),
    "left": lambda db, phone: check(db, phone, now=NOON + 2 * HOUR, number="102"),
    "slowed": lambda db, phone: slowed(db, phone) or check(db, phone),
}


@pytest.mark.parametrize("reason", SAME_LOOK)
def test_every_reason_looks_the_same_and_costs_one_hash(db, phone, hashed, reason):
    somebody(db, "102", until=NOON + HOUR)

    answer = SAME_LOOK[reason](db, phone)

    assert answer is False
    assert len(hashed) == (4 if reason == "slowed" else 1)


def test_nobody_waits_for_the_database_while_a_pin_is_hashed(db, phone, hashed):
    people.find(db, "101")  # the caller has begun a transaction

    check(db, phone)
    check(db, phone, WRONG)

    assert hashed == [False, False]


def test_after_three_failures_also_the_right_pin_has_to_wait(db, phone):
    slowed(db, phone)

    assert not check(db, phone, now=NOON + SECOND - 1)
    assert check(db, phone, now=NOON + SECOND)
    assert check(db, phone, now=NOON + SECOND)


def test_tries_while_slowed_do_not_lengthen_the_wait(db, phone):
    slowed(db, phone)
    for _ in range(20):
        check(db, phone, WRONG, now=NOON + 1)

    assert check(db, phone, now=NOON + SECOND)


def test_a_colleague_is_not_slowed_on_the_phone_of_their_own(db, phone):
    other, _ = a_phone(db)
    slowed(db, phone)

    assert check(db, other)


def hammered(db, phone):
    """Guess on as soon as it is open, until time opens nothing any more."""
    now = NOON
    for _ in range(25):
        check(db, phone, WRONG, now=now)
        now += 15 * MINUTE
    return now


def test_a_supervisor_gives_a_new_pin_to_whom_guessing_has_closed_out(db, phone):
    now = hammered(db, phone)
    closed = check(db, phone, now=now + 1000 * HOUR)

    set_person(db, some_keys(), "101", now, pin="73195048")

    assert closed is False
    assert check(db, phone, "73195048", now=now)


def test_a_crew_that_mistypes_behind_one_address_gets_in(db):
    db.commit()
    numbers = [str(number) for number in range(200, 212)]
    for number in numbers:
        somebody(db, number)
    phones = {number: a_phone(db)[0] for number in numbers}

    mistyped = [check(db, phones[n], WRONG, n) for n in numbers for _ in range(2)]
    right = [check(db, phones[n], PIN, n) for n in numbers]

    assert not any(mistyped)
    assert all(right)


def test_a_pin_may_come_through_a_program_whose_token_holds(db):
    text = add_token(db, "101", NOON)
    token_id = tokens.find(db, text, NOON).id

    assert check(db, token_id)
    assert not check(db, token_id, WRONG)
    assert counted(db)["person_on_phone"] == 1


def test_a_revoked_token_is_no_place_for_a_pin(db):
    add_token(db, "101", NOON, NOON + HOUR)
    token_id = tokens.all(db)[0].id

    assert not check(db, token_id, now=NOON + HOUR)


def test_a_hash_made_with_less_is_made_anew_at_the_next_right_pin(db, phone):
    weak = PasswordHasher(time_cost=1, memory_cost=1024, parallelism=1)
    people.find(db, "101").pin_hash = weak.hash(pins._mixed(some_keys(), PIN))
    db.commit()

    wrong = check(db, phone, WRONG), pins.outgrown(people.find(db, "101").pin_hash)
    right = check(db, phone), pins.outgrown(people.find(db, "101").pin_hash)

    assert (wrong, right) == ((False, True), (True, False))
    assert check(db, phone)


def test_when_too_many_are_hashing_the_try_is_not_counted(db, phone, monkeypatch):
    def no_place():
        raise pins.TooBusy

    monkeypatch.setattr(pins, "turn", no_place)

    with pytest.raises(pins.TooBusy):
        check(db, phone)

    assert counted(db) == {}


def test_nobody_waits_for_the_database_while_a_place_comes_free(db, phone, monkeypatch):
    waited, turn = [], pins.turn
    monkeypatch.setattr(pins, "turn", lambda: waited.append(db.in_transaction()) or turn())
    people.find(db, "101")  # the caller has begun a transaction

    check(db, phone)

    assert waited == [False]


def test_the_pins_of_a_batch_are_checked_once_each(db, phone, hashed):
    asked = [("101", PIN)] * 100 + [("101", WRONG)] * 100

    answers = check_pins(db, some_keys(), asked, phone, NOON)

    assert answers == {("101", PIN): True, ("101", WRONG): False}
    assert len(hashed) == 2


def test_ten_thousand_entries_with_ten_thousand_pins_find_nothing_out(db, phone, hashed):
    asked = [("101", f"{number:08}") for number in range(10_000)]
    asked[9_000] = ("101", PIN)

    answers = check_pins(db, some_keys(), asked, phone, NOON)

    assert not any(answers.values())
    assert len(answers) == 10_000
    assert len(hashed) == CHECKS_A_BATCH


@pytest.mark.parametrize("engine", ENGINES)
def test_twenty_who_guess_at_once_get_three_guesses(engine, request):
    with fresh_db(address(engine, request)) as db:
        somebody(db, "101")
        phone, _ = a_phone(db)
        bind = db.get_bind()

        def guess(number):
            with make_session(bind, SITE) as own:
                return check(own, phone, f"{number:08}")

        with ThreadPoolExecutor(20) as threads:
            answers = list(threads.map(guess, range(20)))

        assert not any(answers)
        assert counted(db)["person_on_phone"] == 3
        assert counted(db)["phone"] == 3
