from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.client import Client
from walkaround.store import labels, settings, units

NEW = {"number": "E04", "machine": "excavator", "title": "Excavator 4", "hours": "1234,5"}


def test_a_unit_is_added_with_a_label(supervisor: Client, db: Session):
    answer = supervisor.submit("/fleet/new", limit="7", **NEW)

    assert (answer.status_code, answer.headers["Location"]) == (303, "/units/E04")
    unit = units.find(db, "E04")
    assert (unit.machine, unit.title, unit.hours) == ("excavator", "Excavator 4", 1234.5)
    assert settings.value(db, "biodiesel_limit", about="E04") == "7.0"
    assert labels.current(db, "E04")


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("number", "", "Give the painted number."),
        ("number", "L07", "There is a unit L07 already."),
        ("number", "L 07/", "is no unit number"),
        ("machine", " ", "what kind of machine"),
        ("hours", "many", "in figures"),
        ("limit", "-1", "in figures"),
    ],
)
def test_what_does_not_fit_is_said_at_its_field(
    supervisor: Client, field: str, value: str, words: str
):
    page = supervisor.refused("/fleet/new", **{**NEW, field: value})

    assert words in page.find(id=f"{field}-error").text
    assert page.find(id="title")["value"] == "Excavator 4"


def test_a_unit_is_changed_and_keeps_its_number(supervisor: Client, db: Session):
    assert supervisor.page("/units/L07/change").find(id="machine")["value"] == "wheel loader"

    supervisor.submit("/units/L07/change", machine="wheel loader", title="At the crusher")

    unit = units.find(db, "L07")
    assert (unit.number, unit.title) == ("L07", "At the crusher")


def test_the_machines_that_have_lists_are_offered(supervisor: Client):
    page = supervisor.page("/fleet/new")

    assert [one["value"] for one in page.find_all("option")] == ["wheel loader"]


def test_a_reader_of_spanish_changes_a_unit_without_changing_its_kind(
    supervisor: Client, db: Session
):
    shown = supervisor.page("/units/L07/change", lang="es")
    fields = {name: shown.find(id=name)["value"] for name in ("machine", "title")}

    supervisor.submit("/units/L07/change?lang=es", **fields)

    assert fields == {"machine": "pala cargadora de ruedas", "title": "Pala cargadora de ruedas"}
    unit = units.find(db, "L07")
    assert (unit.machine, unit.title) == ("wheel loader", "Wheel loader")


def test_a_kind_may_be_named_in_spanish(supervisor: Client, db: Session):
    supervisor.submit("/units/L07/change?lang=es", machine="Bulldozer")

    assert units.find(db, "L07").machine == "Dozer"


def test_the_pin_is_asked_for_when_the_last_proof_is_old(supervisor: Client, clock: Any):
    clock.shift(6 * 60)

    assert supervisor.refused("/fleet/new", **NEW).find(id="pin-error")
    assert supervisor.refused("/units/L07/change", machine="x").find(id="pin-error")


@pytest.mark.parametrize("path", ["/fleet/new", "/units/L07/change"])
def test_the_fleet_is_the_supervisors(
    client: Client, operator: Client, mechanic: Client, path: str
):
    assert client.get(path).status_code == 303
    operator.page(path, status=403)
    mechanic.page(path, status=403)


def test_an_unknown_unit_is_not_changed(supervisor: Client):
    supervisor.page("/units/X99/change", status=404)
