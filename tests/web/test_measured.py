"""Measured numbers on pages in the units that the site prefers; entries keep those of the list."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from tests.repairs import text
from tests.web.conftest import Program
from tests.web.walking import NEW, answers_of, filled, walk
from walkaround.actions.set_site import set_site
from walkaround.web import measured

# 300 and 380 kPa are 43.5113 and 55.1143 psi by the factor of NIST SP 811 (6.894757 kPa).
LIMITS = "43.6 to 55.1 psi is in order."


@pytest.fixture
def in_psi(db: Session) -> None:
    set_site(db, {"pressure": "psi"}, make.at(-60))


@pytest.fixture
def listed(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list measures what the test says, in the place of the pressure."""
    folder = tmp_path / "lists"
    folder.mkdir()
    for path in make.LISTS.glob("*.yaml"):
        pressure = "{quantity: pressure, in: kPa, low: 300, high: 380, every: 7 d}"
        (folder / path.name).write_text(path.read_text().replace(pressure, request.param))
    monkeypatch.setattr(make, "LISTS", folder)


def step(client: Client, language: str = "en") -> BeautifulSoup:
    """Return the step of the walk that asks for the number."""
    return client.page(NEW, lang=language).select_one("#item-pressure")


def test_the_walk_asks_in_the_unit_of_the_site(in_psi, operator: Client):
    asked = step(operator)
    pad = asked.select_one("[data-module='walk-limits']")

    assert LIMITS in asked.text
    assert asked.select_one(".number-pad__unit").text == "psi"
    assert (pad["data-low"], pad["data-high"], pad["data-digits"]) == ("43.6", "55.1", "1")
    assert "kPa" not in asked.text


def test_without_a_setting_it_asks_in_si(operator: Client):
    asked = step(operator)
    pad = asked.select_one("[data-module='walk-limits']")

    assert "300 to 380 kPa is in order." in asked.text
    assert (pad["data-low"], pad["data-high"]) == ("300", "380")
    assert not pad.has_attr("data-digits")


def test_spanish_pages_write_a_comma(in_psi, operator: Client):
    assert "De 43,6 a 55,1 psi está en orden." in step(operator, "es").text


def test_what_is_typed_is_kept_in_the_unit_of_the_list_and_shown_as_typed(
    in_psi, operator: Client, db: Session
):
    answer = walk(operator, {"value:pressure": "50,1"})

    assert answers_of(db, answer)["pressure"] == {"value": 345.43}  # 50.1 x 6.894757 = 345.427
    page = operator.page(answer.headers["Location"])
    assert page.h1.text == "OK to run"
    assert "50.1 psi" in page.select_one("details").text


@pytest.mark.parametrize(("typed", "state"), [("43.6", "OK to run"), ("43.5", "Tagged out")])
def test_a_number_at_the_limit_is_in_order_and_the_next_one_is_not(
    in_psi, operator: Client, typed: str, state: str
):
    answer = walk(operator, {"value:pressure": typed})

    assert operator.page(answer.headers["Location"]).h1.text == state


def test_every_page_shows_what_failed_in_the_unit_of_the_site(
    in_psi, operator: Client, mechanic: Client, supervisor: Client
):
    made = walk(operator, {"value:pressure": "43.5"}).headers["Location"]
    seen = mechanic.page("/defects")
    line = seen.select_one(".rows a[href*='/defects/']")["href"]

    for client, path in [
        (operator, made),
        (operator, "/units/L07"),
        (operator, "/units/L07/logbook"),
        (mechanic, "/defects"),
        (mechanic, line),
        (supervisor, "/board"),
    ]:
        page = text(client.page(path))
        assert "43.5 psi (at least 43.6)" in page, path
        assert "kPa" not in page, path


def test_programs_read_and_send_in_the_unit_of_the_list(in_psi, of_operator: Program):
    read = of_operator.read("/units/L07/checklist")
    items = {i["item"]: i for s in read["stations"] for i in s["items"]}
    made = of_operator.enter_one("walkaround", make.walkaround(pressure=299.9))

    assert items["pressure"]["measure"] == {
        "quantity": "pressure",
        "in": "kPa",
        "low": 300,
        "high": 380,
    }
    assert len(made["defects"]) == 1
    # Whatever a program sent never seems to be in order: rounded it would be 43.5 as well.
    assert "43.5 psi (at least 43.6)" in made["verdict"]["reasons"][0]["text"]


def test_a_page_from_before_a_setting_is_read_in_its_own_units(
    in_psi, operator: Client, db: Session
):
    sent = filled(operator, {"value:pressure": "50"})
    set_site(db, {"pressure": "bar"}, make.at(30))

    answer = operator.submit(NEW, **sent)

    assert answers_of(db, answer)["pressure"] == {"value": 344.74}


def test_a_page_from_before_there_were_units_asked_in_those_of_the_list(
    in_psi, operator: Client, db: Session
):
    answer = walk(operator, {"units": None, "value:pressure": "340"})

    assert answers_of(db, answer)["pressure"] == {"value": 340}


def test_a_number_between_two_steps_is_asked_for_again(in_psi, operator: Client):
    page = operator.refused(NEW, **filled(operator, {"value:pressure": "43.55"}))

    assert "Give it to 1 decimal at most." in page.select_one(".errors").text
    again = page.select_one("#item-pressure")
    assert LIMITS in again.text
    assert again.select_one("[name='value:pressure']")["value"] == "43.55"


def test_the_board_is_another_when_the_units_are(supervisor: Client, db: Session):
    before = supervisor.get("/board").headers["ETag"]
    set_site(db, {"pressure": "psi"}, make.at(30))

    answer = supervisor.get("/board", headers={"If-None-Match": before})

    assert answer.status_code == 200


@pytest.mark.parametrize("listed", ["{quantity: tread, in: mm, low: 10}"], indirect=True)
def test_parts_of_an_inch_are_written_behind_a_stroke(listed, db: Session, operator: Client):
    set_site(db, {"length": "1/32 in"}, make.at(29))

    asked = step(operator)
    answer = walk(operator, {"value:pressure": "12.5"})

    assert "At least 12.6/32 in is in order." in asked.text  # 10/0.79375 = 12.598
    assert asked.select_one(".number-pad__unit").text == "/32 in"
    said = text(operator.page(answer.headers["Location"]))
    assert "12.5/32 in (at least 12.6/32)" in said


@pytest.mark.parametrize(
    ("listed", "said"),
    [
        ("{quantity: pressure, in: bar, low: 3.15}", "At least 315 kPa is in order."),
        ("{quantity: coolant, in: °F, high: 194}", "At most 90 °C is in order."),
        ('{quantity: diesel-level, in: "%", low: 10, high: 100}', "10 to 100 % is in order."),
        ("{quantity: oil-level, in: marks, low: 1.125}", "At least 1.125 marks is in order."),
        ("{quantity: oil-level, in: marks}", "Only noted, not judged."),
    ],
    indirect=["listed"],
)
def test_lists_may_be_written_in_any_unit(listed, operator: Client, said: str):
    assert said in step(operator).text


@pytest.mark.parametrize(
    ("listed", "kind"),
    [
        ("{quantity: coolant, in: °C, low: -35}", "signed"),
        ("{quantity: air, in: °F, high: 120}", "signed"),
        ("{quantity: slope, in: marks, low: -2, high: 2}", "signed"),
        ("{quantity: pressure, in: kPa, low: 300}", "decimal"),
    ],
    indirect=["listed"],
)
def test_keys_go_below_zero_where_a_number_may(listed, operator: Client, kind: str):
    assert step(operator).select_one(".number-pad")["data-kind"] == kind


def test_a_form_carries_the_units_in_which_it_asked():
    units = {"pressure": "psi", "length": "1/32 in", "temperature": "°F"}

    assert measured.read(measured.written(units)) == units
    assert measured.read("psi,furlong") == {"pressure": "psi"}
    assert measured.read("") == {}
