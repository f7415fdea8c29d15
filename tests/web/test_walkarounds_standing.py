"""What stands about a unit already, as a walk meets it: deferred and open defects, second looks."""

import uuid
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from tests.web.walking import NEW, answers_of, body_of, filled, walk
from walkaround.actions.enter import Sender, enter
from walkaround.actions.set_site import set_site
from walkaround.rules import instant


def entered(db: Session, kind: str, body: dict[str, Any], by: str, minutes: float) -> Any:
    made = enter(db, make.entry(kind, body, minutes=minutes), Sender(by, True), make.at(minutes))
    assert made.result == "accepted", made
    return made


@pytest.fixture
def torn(db: Session) -> str:
    """A torn seat, deferred."""
    made = entered(db, "walkaround", make.walkaround(seat="defect"), "101", 10)
    until = instant.text(make.at(600))
    body = {"defects": list(made.defects), "restrictions": "Short trips only", "until": until}
    entered(db, "defer", body, "201", 15)
    return str(made.defects[0])


def test_a_deferred_defect_shows_its_restrictions_and_offers_no_worse(operator: Client, torn: str):
    step = operator.page(NEW).select_one("#item-seat")

    assert "Short trips only" in step.text
    assert "Deferred until today 16:00" in step.text
    assert [i["value"] for i in step.select('[name="answer:seat"]')] == [
        "no_worse",
        "in_order",
        "defect",
        "could_not_check",
    ]


def test_no_worse_names_what_it_is_no_worse_than(operator: Client, torn: str, db: Session):
    answer = walk(operator, {"answer:seat": "no_worse"})

    assert answers_of(db, answer)["seat"] == {"answer": "no_worse", "than": [torn]}
    page = operator.page(answer.headers["Location"])
    assert page.h1.text == "OK with restrictions"
    assert "Short trips only" in page.select_one(".plate").text


def test_no_worse_is_not_offered_where_nothing_is_deferred(operator: Client):
    assert not operator.page(NEW).select('[value="no_worse"]')

    page = operator.refused(NEW, **filled(operator, {"answer:seat": "no_worse"}))

    assert "Seat: There is no answer yet." in page.text


def test_an_open_defect_is_shown_at_its_item(operator: Client, db: Session):
    entered(db, "walkaround", make.walkaround(seat="defect"), "101", 10)

    step = operator.page(NEW).select_one("#item-seat")

    assert "Open: Seat (found by Olga Operator, today 06:10)" in step.text


def test_a_deferred_pressure_goes_along_with_the_new_number(operator: Client, db: Session, clock):
    made = entered(db, "walkaround", make.walkaround(pressure=280.0), "101", 10)
    until = instant.text(make.at(60 * 24 * 20))
    body = {"defects": list(made.defects), "restrictions": "Half loads", "until": until}
    entered(db, "defer", body, "201", 15)
    clock.move_to((make.at(30) + 8 * instant.DAY) / 1000)
    operator.sign_in("Olga Operator")

    answer = walk(operator, {"value:pressure": "285"})

    assert answers_of(db, answer)["pressure"] == {"value": 285, "than": list(made.defects)}
    assert operator.page(answer.headers["Location"]).h1.text == "OK with restrictions"


def test_an_item_that_is_not_due_is_not_asked(operator: Client, db: Session):
    entered(db, "walkaround", make.walkaround(), "101", 10)

    page = operator.page(NEW)

    assert not page.select("#item-pressure")
    assert "1 of 4" in page.select_one("#item-tyre").text
    assert "pressure" not in answers_of(db, walk(operator))


def test_an_item_that_is_due_again_says_since_when(operator: Client, db: Session, clock):
    entered(db, "walkaround", make.walkaround(), "101", 10)
    clock.move_to((make.at(30) + 7 * instant.DAY) / 1000)
    operator.sign_in("Olga Operator")

    step = operator.page(NEW).select_one("#item-pressure")

    assert "Last measured 25 Nov 06:10." in step.text
    assert "300 to 380 kPa is in order." in step.text


def test_a_number_outside_its_limits_is_a_defect(operator: Client):
    page = operator.page(walk(operator, {"value:pressure": "299,9"}).headers["Location"])

    assert page.h1.text == "Tagged out"
    assert "299.9 kPa (at least 300)" in page.text


@pytest.mark.parametrize("typed", ["", "a lot", "3.4.5"])
def test_a_number_must_be_one(operator: Client, typed: str):
    given = {"value:pressure": typed, "answer:pressure": "value"}

    page = operator.refused(NEW, **filled(operator, given))

    assert "Give the number that was read, in figures." in page.text


def test_a_number_and_could_not_check_contradict_each_other(operator: Client):
    given = {"answer:pressure": "could_not_check", "note:pressure": "no gauge"}

    page = operator.refused(NEW, **filled(operator, given))

    assert "keep one of them" in page.text


@pytest.fixture
def repaired(db: Session) -> str:
    """A tyre that was cut and changed, at a site that asks for a second look."""
    set_site(db, {"second_look": "on"}, make.DAWN)
    made = entered(db, "walkaround", make.walkaround(tyre="defect"), "101", 10)
    body = {"defects": list(made.defects), "outcome": "repaired", "work": "Tyre changed"}
    return str(entered(db, "clear", body, "201", 20).id)


def test_a_repair_is_looked_at_again_on_the_walk(operator: Client, repaired: str, db: Session):
    page = operator.page(NEW)
    answer = walk(operator)

    assert "Repaired by Milan Mechanic: look at it again. Tyre changed" in page.text
    assert body_of(db, answer)["looked_again"] == [repaired]
    assert operator.page(answer.headers["Location"]).h1.text == "OK to run"


def test_a_repair_that_could_not_be_checked_was_not_looked_at(
    operator: Client, repaired: str, db: Session
):
    given = {"answer:tyre": "could_not_check", "note:tyre": "mud"}

    assert "looked_again" not in body_of(db, walk(operator, given))


def test_whoever_repaired_it_does_not_look_again(mechanic: Client, repaired: str, db: Session):
    page = mechanic.page(NEW)

    assert "your own look does not count here" in page.text
    assert "looked_again" not in body_of(db, walk(mechanic))


def test_a_repair_that_the_list_does_not_know_is_ticked(operator: Client, db: Session):
    set_site(db, {"second_look": "on"}, make.DAWN)
    sent = {"what": "Ladder torn off", "critical": True}
    id = entered(db, "defect", sent, "101", 5).id
    body = {"defects": [id], "outcome": "repaired", "work": "Welded"}
    clear = entered(db, "clear", body, "201", 20).id

    unticked, ticked = walk(operator), walk(operator, {"looks": clear})

    assert "looked_again" not in body_of(db, unticked)
    assert body_of(db, ticked)["looked_again"] == [clear]


def test_a_repair_made_up_is_not_taken(operator: Client, db: Session):
    assert "looked_again" not in body_of(db, walk(operator, {"looks": str(uuid.uuid4())}))
