import pytest

from tests.people import NOON, fresh_db, some_keys, somebody
from walkaround.actions.set_person import set_person
from walkaround.rules.instant import HOUR
from walkaround.rules.person import UnknownPerson
from walkaround.store import people


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


def test_a_person_is_found_by_crew_number(db):
    somebody(db, "101")

    assert people.find(db, " 101 ").name == "Person 101"


@pytest.mark.parametrize("number", ["102", "", "10", "1\x00", "\ud800", "101' or '1'='1"])
def test_nobody_is_found_by_anything_else(db, number):
    somebody(db, "101")

    assert people.find(db, number) is None


def test_who_must_be_there_and_is_not_is_named(db):
    with pytest.raises(UnknownPerson, match="Nobody here has the crew number 102"):
        people.require(db, "102")


def test_another_site_has_people_of_its_own(db):
    somebody(db, "101")
    db.info["site"] = "Quarry"

    assert people.find(db, "101") is None
    assert list(people.all(db)) == []
    assert people.roles_at(db, "101", NOON) == ()
    assert not people.is_taken(db, "101")


def test_a_number_is_taken_however_its_letters_are_written(db):
    somebody(db, "A7")

    assert people.is_taken(db, "a7")
    assert not people.is_taken(db, "A8")


def test_a_person_is_active_until_the_instant_of_leaving(db):
    somebody(db, "101", until=NOON + HOUR)
    row = people.find(db, "101")

    assert people.is_active(row, NOON + HOUR - 1)
    assert not people.is_active(row, NOON + HOUR)


def test_roles_are_those_of_the_instant(db):
    somebody(db, "101", "operator")
    set_person(db, some_keys(), "101", NOON + HOUR, roles=["mechanic"])

    roles = [people.roles_at(db, "101", NOON + shift) for shift in (-HOUR, 0, HOUR - 1, HOUR)]

    assert roles == [("operator",)] * 3 + [("mechanic",)]


def test_everybody_is_listed_by_name_as_of_now(db):
    somebody(db, "102", "supervisor")
    somebody(db, "101", "mechanic", until=NOON + HOUR)

    now = people.persons(db, NOON + HOUR)

    assert [(p.crew_number, p.roles, p.active) for p in now] == [
        ("101", ("mechanic",), False),
        ("102", ("supervisor",), True),
    ]
    assert now[0] == people.person(db, people.find(db, "101"), NOON + HOUR)
