"""The page on which somebody records what was filled in."""

from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.set_unit import set_unit

FILL = "/units/L07/fills/new"  # L07 stood at 84 h at six
FLUIDS = ["diesel", "def", "engine_oil", "coolant", "hydraulic_oil", "transmission_oil", "grease"]


def test_a_fill_stands_in_the_logbook(operator: Client):
    answer = post(operator, fluid="diesel", litres="120,5", to_full="y", hours="84.5")

    assert (answer.status_code, answer.headers["Location"]) == (303, "/units/L07")
    assert book(operator)[0]["body"] == {
        "fluid": "diesel",
        "litres": 120.5,
        "to_full": True,
        "hours": 84.5,
    }
    assert operator.api("GET", "/units/L07").json["hours"] == 84.5
    assert "Diesel, 120.5 l" in operator.page("/units/L07/logbook").text


@pytest.mark.parametrize("fluid", FLUIDS)
def test_each_fluid_is_offered_and_taken(operator: Client, fluid: str):
    page = operator.page(FILL)
    offered = page.find_all("input", attrs={"name": "fluid"})

    assert [one["value"] for one in offered] == FLUIDS
    assert post(operator, fluid=fluid, litres="1").status_code == 303
    assert book(operator)[0]["body"] == {"fluid": fluid, "litres": 1}


def test_the_unit_leads_to_it(operator: Client):
    assert operator.page("/units/L07").find("a", href=FILL).text == "Record a fill"


@pytest.mark.parametrize("typed", ["", "0", "-3", "many", "1e9", "1000000000", "10000.1", "NaN"])
def test_litres_that_cannot_be_are_sent_back(operator: Client, typed: str):
    page = operator.refused(FILL, **form(operator), fluid="coolant", litres=typed)

    assert page.find(id="litres-error")
    assert page.find(id="litres")["value"] == typed
    assert page.find("input", attrs={"value": "coolant"}).has_attr("checked")
    assert book(operator) == []


@pytest.mark.parametrize("fields", [{}, {"fluid": "water"}, {"fluid": "None"}])
def test_a_fill_wants_a_fluid(operator: Client, fields: dict[str, str]):
    page = operator.refused(FILL, **form(operator), **fields, litres="5")

    assert "Choose what was filled in." in page.find(id="fluid-error").text
    assert book(operator) == []


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("many", "in figures"),
        ("83.9", "lower than the last reading"),
        ("90", "more hours than have passed"),
    ],
)
def test_a_reading_that_cannot_be_is_sent_back(operator: Client, typed: str, words: str):
    page = operator.refused(FILL, **form(operator), fluid="grease", litres="0.4", hours=typed)

    assert words in page.find(id="hours-error").text
    assert page.find("input", attrs={"name": "insisted"})
    assert book(operator) == []


def test_who_insists_on_a_reading_moves_no_hour_meter(operator: Client):
    post(operator, fluid="grease", litres="0.4", hours="90", insisted="y")

    assert book(operator)[0]["body"]["insisted"] is True
    assert operator.api("GET", "/units/L07").json["hours"] == 84


@pytest.mark.parametrize(
    ("fluid", "typed"), [("diesel", "x"), ("diesel", "101"), ("def", "7"), ("coolant", "0")]
)
def test_a_blend_that_cannot_be_is_sent_back(operator: Client, fluid: str, typed: str):
    fields = {"fluid": fluid, "litres": "5", "biodiesel_percent": typed}

    page = operator.refused(FILL, **form(operator), **fields)

    assert page.find(id="biodiesel_percent-error")
    assert book(operator) == []


def test_a_blend_above_the_limit_is_foretold_and_opens_a_defect(operator: Client, db: Session):
    set_unit(db, "L07", make.at(0), biodiesel_limit=7)
    assert "This unit takes at most 7 %" in operator.page(FILL).text

    post(operator, fluid="diesel", litres="80", biodiesel_percent="20")

    assert operator.api("GET", "/units/L07").json["verdict"]["state"] == "tagged_out"


def test_posting_twice_records_it_once(operator: Client):
    fields = {**form(operator), "fluid": "diesel", "litres": "80"}

    answers = [operator.submit(FILL, **fields) for _ in range(2)]

    assert [one.status_code for one in answers] == [303, 303]
    assert len(book(operator)) == 1


def test_the_page_warns_of_mixing_diesel_and_exhaust_fluid(operator: Client):
    caution = operator.page(FILL).find(class_="caution").text

    assert "Never mix diesel and diesel exhaust fluid (DEF)" in caution
    assert "do not start the engine" in caution
    assert "tell the mechanic" in caution


def test_the_pin_is_asked_for_when_the_last_proof_is_old(operator: Client, clock: Any):
    clock.shift(6 * 60)

    assert operator.refused(FILL, fluid="diesel", litres="80").find(id="pin-error")


def test_everybody_signed_in_records_fills_of_units_that_are_there(
    client: Client, operator: Client, mechanic: Client, supervisor: Client
):
    assert client.get(FILL).status_code == 303
    for one in (operator, mechanic, supervisor):
        one.page(FILL)
        one.page(FILL.replace("L07", "X99"), status=404)


def form(client: Client) -> dict[str, str]:
    return {"entry": client.page(FILL).find(id="entry")["value"]}


def post(client: Client, **fields: str) -> Any:
    return client.submit(FILL, **form(client), **fields)


def book(client: Client) -> list[Any]:
    return list(client.api("GET", "/units/L07/logbook").json["entries"])
