import pytest

from tests.people import NOON, PIN, a_phone, fresh_db, some_keys, somebody
from walkaround.actions.check_pin import check_pin
from walkaround.actions.person_leaves import person_leaves
from walkaround.actions.set_person import set_person
from walkaround.rules import person as rules
from walkaround.rules.instant import DAY, HOUR
from walkaround.rules.pin import BadPin, PinIsCrewNumber
from walkaround.store import people


@pytest.fixture
def db():
    with fresh_db() as db:
        somebody(db, "101")
        yield db


def change(db, now=NOON, number="101", **changes):
    return set_person(db, some_keys(), number, now, **changes)


def test_what_is_not_named_stays_as_it_was(db):
    before = people.find(db, "101").pin_hash

    person = change(db, name=" Noa  Vidal ")

    assert person == rules.Person("101", "Noa Vidal", ("operator",), active=True)
    assert people.find(db, "101").pin_hash == before


def test_new_roles_hold_from_now_on(db):
    change(db, NOON + HOUR, roles=["mechanic"])
    change(db, NOON + 2 * HOUR, roles=["supervisor", "operator"])

    held = [people.roles_at(db, "101", NOON + hours * HOUR) for hours in range(3)]

    assert held == [("operator",), ("mechanic",), ("operator", "supervisor")]


def test_the_last_of_two_changes_in_one_instant_counts(db):
    change(db, NOON + HOUR, roles=["mechanic"])

    change(db, NOON + HOUR, roles=["supervisor"])

    assert people.history(db, "101") == [(NOON, ("operator",)), (NOON + HOUR, ("supervisor",))]


def test_the_same_roles_again_change_nothing(db):
    change(db, NOON + HOUR, roles=["operator", "operator"])

    assert people.history(db, "101") == [(NOON, ("operator",))]


def test_a_new_pin_takes_the_place_of_the_old_one(db):
    phone, _ = a_phone(db)

    change(db, pin="73195048")

    assert check_pin(db, some_keys(), "101", "73195048", phone, NOON)
    assert not check_pin(db, some_keys(), "101", PIN, phone, NOON)


def test_somebody_may_be_there_until_a_day(db):
    change(db, until=NOON + DAY)
    row = people.find(db, "101")

    assert people.is_active(row, NOON + DAY - 1)
    assert not people.is_active(row, NOON + DAY)


def test_the_same_person_may_come_back_and_keeps_the_number(db):
    person_leaves(db, "101", NOON)

    person = change(db, NOON + DAY, stays=True)

    assert (person.crew_number, person.active) == ("101", True)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"name": ""}, rules.BadName),
        ({"roles": []}, rules.NoRole),
        ({"roles": ["foreman"]}, rules.UnknownRole),
        ({"pin": "0000"}, BadPin),
        ({"name": "Noa Vidal", "pin": "101"}, BadPin),
        ({"number": "102", "name": "Noa Vidal"}, rules.UnknownPerson),
        ({"number": "102", "pin": "4821"}, rules.UnknownPerson),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_is_changed(db, changes, refusal):
    before = people.persons(db, NOON)

    with pytest.raises(refusal):
        change(db, **changes)

    assert people.persons(db, NOON) == before


def test_the_pin_is_held_against_the_number_of_that_person(db):
    somebody(db, "5068")

    with pytest.raises(PinIsCrewNumber):
        change(db, number="5068", pin="5068")
