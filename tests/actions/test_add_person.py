from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.people import ENGINES, NOON, PIN, SITE, address, fresh_db, some_keys, somebody
from walkaround.actions.add_person import add_person
from walkaround.actions.person_leaves import person_leaves
from walkaround.rules import person as rules
from walkaround.rules.pin import BadPin
from walkaround.rules.refusal import Refusal
from walkaround.store import people
from walkaround.store.db import make_session
from walkaround.store.models.people import PersonRow


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


def add(db, number="101", name="Alba Ruiz", roles=("operator",), pin="4821", **more):
    return add_person(db, some_keys(), number, name, roles, pin, NOON, **more)


@pytest.mark.parametrize("role", rules.ROLES)
def test_somebody_is_added_with_a_pin_of_four_digits_in_any_role(db, role):
    person = add(db, roles=[role], language="es")

    assert person == rules.Person("101", "Alba Ruiz", (role,), active=True, language="es")
    assert people.persons(db, NOON) == [person]


def test_a_person_may_have_several_roles(db):
    person = add(db, roles=["supervisor", "mechanic"])

    assert person.roles == ("mechanic", "supervisor")


@pytest.mark.parametrize(
    ("wrong", "refusal"),
    [
        ({"number": "10 1"}, rules.BadCrewNumber),
        ({"name": " "}, rules.BadName),
        ({"roles": []}, rules.NoRole),
        ({"roles": ["foreman"]}, rules.UnknownRole),
        ({"pin": "1234"}, BadPin),
        ({"number": "4821"}, BadPin),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_is_kept(db, wrong, refusal):
    with pytest.raises(refusal) as caught:
        add(db, **wrong)

    assert isinstance(caught.value, Refusal)
    assert str(caught.value).endswith(".")
    assert list(people.all(db)) == []


def test_a_crew_number_is_never_given_to_somebody_else(db):
    add(db, "A1")

    with pytest.raises(rules.CrewNumberTaken, match="The crew number a1 is taken"):
        add(db, "a1", name="Somebody Else")


def test_a_crew_number_stays_with_whom_it_was_after_they_left(db):
    add(db, "101")
    person_leaves(db, "101", NOON)

    with pytest.raises(rules.CrewNumberTaken, match="not even after its person has left"):
        add(db, "101", name="Somebody Else")

    assert people.find(db, "101").name == "Alba Ruiz"


def test_no_digit_of_the_pin_and_no_key_is_in_the_database_file(tmp_path):
    path = tmp_path / "walkaround.db"
    with fresh_db(f"sqlite:///{path}") as db:
        somebody(db, "101", pin=PIN)
        kept = b"".join(file.read_bytes() for file in tmp_path.iterdir())

    assert b"Person 101" in kept
    assert PIN.encode() not in kept
    assert some_keys().pin_key not in kept
    assert some_keys().pin_key.hex().encode() not in kept


@pytest.mark.parametrize("engine", ENGINES)
def test_of_many_who_take_one_number_at_once_one_gets_it(engine, request):
    with fresh_db(address(engine, request)) as db:
        bind = db.get_bind()

        def take(name):
            with make_session(bind, SITE) as own:
                try:
                    return add(own, name=f"Person {name}").name
                except rules.CrewNumberTaken:
                    return None

        with ThreadPoolExecutor(8) as threads:
            names = [name for name in threads.map(take, range(8)) if name]

        assert names == [db.query(PersonRow).one().name]
