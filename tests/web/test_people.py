from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.rules import instant
from walkaround.store import people

NEW = {
    "name": "Nuria New",
    "crew_number": "104",
    "roles": ["operator", "mechanic"],
    "new_pin": "5830",
    "language": "es",
}


def test_everybody_is_listed_with_roles(supervisor: Client):
    page = supervisor.page("/people")

    assert "Olga Operator" in page.text
    assert "Mechanic" in page.find("a", href="/people/201/change").find_parent("li").text


def test_somebody_added_can_sign_in(supervisor: Client, enrolled: Any):
    answer = supervisor.submit("/people/new", **NEW)

    assert (answer.status_code, answer.headers["Location"]) == (303, "/people")
    assert "Nuria New is here from now on." in supervisor.page("/people").text
    phone = enrolled()
    assert phone.submit("/sign-in", crew_number="104", pin="5830").status_code == 303
    assert phone.api("GET", "/me").json["roles"] == ["operator", "mechanic"]


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("name", " ", "Give the name."),
        ("name", "x" * 81, "of at most 80 characters"),
        ("crew_number", "101", "is taken"),
        ("crew_number", "1 0", "1 to 16 digits"),
        ("roles", [], "at least one role"),
        ("new_pin", "1234", "a run like"),
        ("new_pin", "104", "4 to 12 digits"),
    ],
)
def test_what_does_not_fit_is_said_at_its_field(
    supervisor: Client, field: str, value: Any, words: str
):
    page = supervisor.refused("/people/new", **{**NEW, field: value})

    assert words in page.find(id=f"{field}-error").text
    assert field == "name" or page.find(id="name")["value"] == "Nuria New"
    assert "5830" not in str(page)


def test_the_form_shows_what_is_and_keeps_what_is_changed(supervisor: Client, db: Session):
    page = supervisor.page("/people/101/change")
    assert page.find(id="name")["value"] == "Olga Operator"
    assert [box["value"] for box in page.find_all("input", checked=True)] == ["operator"]

    supervisor.submit("/people/101/change", name="Olga Otero", roles=["operator", "supervisor"])

    olga = people.person(db, people.require(db, "101"), make.at(31))
    assert (olga.name, olga.roles) == ("Olga Otero", ("operator", "supervisor"))


def test_a_new_pin_ends_the_old_one(supervisor: Client, operator: Client, enrolled: Any):
    supervisor.submit("/people/101/change", name="Olga Operator", roles="operator", new_pin="6024")

    assert operator.get("/units").status_code == 303  # signed out at once
    phone = enrolled()
    phone.refused("/sign-in", crew_number="101", pin="4821")
    assert phone.submit("/sign-in", crew_number="101", pin="6024").status_code == 303


def test_a_last_day_ends_at_its_end_on_the_sites_clock(supervisor: Client, db: Session):
    fields = {"name": "Olga Operator", "roles": "operator"}
    supervisor.submit("/people/101/change", until="2026-11-30", **fields)

    # midnight in Madrid, an hour ahead of UTC in winter (IANA time zone data)
    assert people.require(db, "101").left_at == instant.parse("2026-11-30T23:00:00Z")
    assert supervisor.page("/people/101/change").find(id="until")["value"] == "2026-11-30"

    db.rollback()
    supervisor.submit("/people/101/change", until="", **fields)
    assert people.require(db, "101").left_at is None


def test_somebody_leaves_and_a_change_of_name_does_not_bring_them_back(
    supervisor: Client, operator: Client, db: Session, clock: Any
):
    assert supervisor.submit("/people/101/leaving").status_code == 303
    left_at = people.require(db, "101").left_at
    db.rollback()  # nobody else can write while this session may
    clock.shift(60)
    new = {"name": "Olga Otero", "roles": "operator", "until": "2026-11-25"}
    assert supervisor.submit("/people/101/change", **new).status_code == 303

    assert operator.get("/units").status_code == 303
    assert people.require(db, "101").left_at == left_at
    assert "Have left" in supervisor.page("/people").text


def test_the_last_supervisor_stays(supervisor: Client):
    page = supervisor.refused("/people/301/change", name="Sara Supervisor", roles="operator")
    assert "Somebody must stay supervisor" in page.find(id="roles-error").text

    supervisor.refused("/people/301/leaving")
    assert "Somebody must stay supervisor" in supervisor.page("/people/301/leaving").text


@pytest.mark.parametrize("path", ["/people/new", "/people/101/change", "/people/101/leaving"])
def test_the_pin_is_asked_for_when_the_last_proof_is_old(supervisor: Client, clock: Any, path: str):
    clock.shift(6 * 60)

    assert supervisor.page(path).find("input", id="pin")
    assert supervisor.refused(path, **NEW).find(id="pin-error")


@pytest.mark.parametrize(
    "path", ["/people", "/people/new", "/people/101/change", "/people/101/leaving"]
)
def test_people_are_the_supervisors(client: Client, operator: Client, mechanic: Client, path: str):
    assert client.get(path).status_code == 303
    operator.page(path, status=403)
    assert mechanic.post(path, data={"csrf_token": mechanic.token()}).status_code in (403, 405)


def test_nobody_has_an_unknown_number(supervisor: Client):
    supervisor.page("/people/999/change", status=404)
    supervisor.page("/people/999/leaving", status=404)


def test_a_hostile_name_stays_a_name(supervisor: Client):
    supervisor.submit("/people/new", **{**NEW, "name": '"><b onclick="x">'})

    assert '"><b onclick="x">' in supervisor.page("/people").text
