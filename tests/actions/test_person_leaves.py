import pytest

from tests.people import NOON, PIN, a_phone, fresh_db, some_keys, somebody
from walkaround.actions.add_token import add_token
from walkaround.actions.check_pin import check_pin
from walkaround.actions.person_leaves import person_leaves
from walkaround.rules.instant import HOUR
from walkaround.rules.person import PersonLeft, UnknownPerson
from walkaround.store import people, tokens


@pytest.fixture
def db():
    with fresh_db() as db:
        somebody(db, "101", "mechanic")
        yield db


def test_who_leaves_keeps_number_name_and_roles_in_the_list(db):
    person_leaves(db, "101", NOON)

    (person,) = people.persons(db, NOON)
    assert (person.name, person.roles, person.active) == ("Person 101", ("mechanic",), False)


def test_the_pin_of_who_left_is_right_no_more(db):
    phone, _ = a_phone(db)

    person_leaves(db, "101", NOON)

    assert not check_pin(db, some_keys(), "101", PIN, phone, NOON)


def test_the_tokens_of_who_left_are_revoked_and_no_others(db):
    somebody(db, "102")
    theirs, others = add_token(db, "101", NOON), add_token(db, "102", NOON)

    person_leaves(db, "101", NOON)

    assert tokens.find(db, theirs, NOON) is None
    assert tokens.find(db, others, NOON)


def test_who_was_to_leave_later_may_leave_now(db):
    somebody(db, "102", until=NOON + HOUR)

    person_leaves(db, "102", NOON)

    assert people.find(db, "102").left_at == NOON


def test_nobody_leaves_twice_or_without_having_been_here(db):
    person_leaves(db, "101", NOON)

    with pytest.raises(PersonLeft, match="101 has left"):
        person_leaves(db, "101", NOON + HOUR)
    with pytest.raises(UnknownPerson):
        person_leaves(db, "999", NOON)

    assert people.find(db, "101").left_at == NOON
