from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.enter import Sender, enter
from walkaround.rules import instant


def entered(db: Session, kind: str, body: dict[str, Any], by: str, minutes: float) -> Any:
    made = enter(db, make.entry(kind, body, minutes=minutes), Sender(by, True), make.at(minutes))
    assert made.result == "accepted", made
    return made


def deferred(db: Session) -> None:
    """A torn seat with restrictions, found and deferred."""
    made = entered(db, "walkaround", make.walkaround(seat="defect"), "101", 10)
    until = instant.text(make.at(60 * 24 * 5))
    body = {"defects": list(made.defects), "restrictions": "Short trips only", "until": until}
    entered(db, "defer", body, "201", 15)


def test_all_units_stand_with_their_verdicts(operator: Client):
    rows = [row.get_text(" ", strip=True) for row in operator.page("/units").select(".row")]

    assert rows == ["D02 Dozer Not checked", "L07 Wheel loader Not checked"]


@pytest.mark.parametrize("typed", ["L07", "l07", " L 07 "])
def test_a_typed_number_leads_to_its_unit(operator: Client, typed: str):
    answer = operator.get("/units", query_string={"number": typed})

    assert (answer.status_code, answer.headers["Location"]) == (303, "/units/L07")


def test_an_unknown_number_is_said(operator: Client):
    page = operator.page("/units", 404, number="X99")

    assert page.select_one("#number-error").text == "There is no unit X99 here."
    assert page.select_one("#number")["value"] == "X99"


@pytest.mark.parametrize("path", ["/units", "/units/L07"])
def test_who_is_not_signed_in_is_asked_to(client: Client, path: str):
    assert client.get(path).headers["Location"] == f"/sign-in?next={path}"


def test_an_unknown_unit_is_not_there(operator: Client):
    operator.page("/units/X99", 404)


def test_a_unit_that_nobody_walked_says_so(operator: Client):
    page = operator.page("/units/L07")

    assert page.h1.text == "Not checked"
    assert "Walk round it before you start it." in page.select_one(".plate").text
    assert "Nobody has walked it this shift" in page.text
    assert page.select_one(".button--main").text == "Walk round it"


def test_who_walked_reads_it(operator: Client, db: Session):
    entered(db, "walkaround", make.walkaround(), "101", 10)

    page = operator.page("/units/L07")

    assert "Walked by you at 06:10." in page.text
    assert not page.select(".button--main")


def test_who_takes_over_reads_that_they_have_not_walked(mechanic: Client, db: Session):
    entered(db, "walkaround", make.walkaround(), "101", 10)

    page = mechanic.page("/units/L07")

    assert "Walked by Olga Operator at 06:10; you have not." in page.text
    assert page.select_one(".button--main").text == "Walk round it"


def test_who_walked_before_somebody_else_has_walked_too(operator: Client, db: Session):
    entered(db, "walkaround", make.walkaround(), "101", 10)
    entered(db, "walkaround", make.walkaround(20), "201", 20)

    page = operator.page("/units/L07")

    assert "Walked by you at 06:10." in page.text
    assert not page.select(".button--main")


def test_a_walk_of_another_shift_is_named_as_the_last(operator: Client, db: Session, clock):
    entered(db, "walkaround", make.walkaround(), "101", 10)
    clock.move_to(make.at(600) / 1000)
    operator.sign_in("Olga Operator")

    assert "Last walked by you, today 06:10." in operator.page("/units/L07").text


def test_restrictions_stand_large_before_the_button(mechanic: Client, db: Session):
    deferred(db)

    page = mechanic.page("/units/L07")

    text = page.main.text
    assert "Short trips only" in page.select_one(".plate--ok_with_restrictions").text
    assert text.index("Short trips only") < text.index("Walk round it")
    assert "Deferred until 30 Nov 06:00." in text


def test_restrictions_are_read_too_where_the_unit_is_not_checked(
    operator: Client, db: Session, clock
):
    deferred(db)
    clock.move_to(make.at(600) / 1000)
    operator.sign_in("Olga Operator")

    page = operator.page("/units/L07")

    assert page.h1.text == "Not checked"
    assert "Short trips only" in page.select_one("p.large strong").text
    assert page.main.text.index("Short trips only") < page.main.text.rindex("Walk round it")


def test_a_tagged_out_unit_says_what_to_do_and_what_a_tag_is_not(operator: Client, db: Session):
    entered(db, "walkaround", make.walkaround(tyre="defect"), "101", 10)

    page = operator.page("/units/L07")

    assert page.h1.text == "Tagged out"
    for words in (
        "Park it, take the key, hang the tag, tell the supervisor.",
        "Moved or run only by the mechanic, for repair or test, under site rules.",
        "A tag does not isolate energy",
        "found by Olga Operator, today 06:10",
        "A photo was asked for; there is none.",
    ):
        assert words in page.text
    assert page.select_one(".tag").text == "can kill"
    assert "Walk round it anyway" in page.text


def test_a_mechanic_is_led_to_the_defect_and_an_operator_is_not(
    mechanic: Client, operator: Client, db: Session
):
    made = entered(db, "walkaround", make.walkaround(tyre="defect"), "101", 10)
    defect = f'a[href="/defects/L07/{made.defects[0]}"]'

    assert mechanic.page("/units/L07").select(defect)
    assert not operator.page("/units/L07").select(defect)


def test_a_unit_out_of_the_fleet_says_so(operator: Client, db: Session):
    entered(db, "lay_up", {"reason": "waits for an axle"}, "301", 10)

    page = operator.page("/units/L07")

    assert page.h1.text == "Laid up"
    assert "waits for an axle" in page.text


def test_the_end_of_shift_list_is_offered_where_there_is_one(operator: Client):
    loader, dozer = operator.page("/units/L07"), operator.page("/units/D02")

    assert loader.select('a[href="/units/L07/walkarounds/new?occasion=end_of_shift"]')
    assert not dozer.select('a[href*="occasion="]')


def test_the_hour_meter_stands_there(operator: Client):
    assert "84 h" in operator.page("/units/L07").text
    assert "not read yet" in operator.page("/units/D02").text


def test_the_program_never_says_that_a_machine_is_safe(operator: Client, db: Session):
    entered(db, "walkaround", make.walkaround(), "101", 10)

    page = operator.page("/units/L07")

    assert page.h1.text == "OK to run"
    assert "not a statement that the machine is safe" in page.text
