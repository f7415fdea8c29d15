"""The hour meter, asked at the end of a walk."""

from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from tests.web.walking import NEW, body_of, filled, walk
from walkaround.store import standings, units


def standing_hours(db: Session) -> float | None:
    unit = units.find(db, "L07")
    assert unit is not None
    return standings.of(db, unit, make.at(31)).hours


def test_it_must_be_answered(operator: Client):
    page = operator.refused(NEW, **filled(operator, {"hours": ""}))

    assert "Give what the hour meter shows" in page.select_one(".errors").text


def test_a_meter_that_cannot_be_read_leaves_it_out(operator: Client, db: Session):
    body = body_of(db, walk(operator, {"hours": "", "no_hours": "y"}))

    assert "hours" not in body


def test_a_lower_reading_is_asked_again_and_offered(operator: Client):
    page = operator.refused(NEW, **filled(operator, {"hours": "83,5"}))

    assert "The hour meter stood at 84 h before: it cannot go back." in page.text
    assert page.select_one('[name="insisted"]')
    assert page.select_one('[name="hours"]')["value"] == "83,5"


def test_more_hours_than_have_passed_are_asked_again(operator: Client, db: Session):
    # half an hour since the unit joined at 84 h, and one hour is allowed
    assert body_of(db, walk(operator, {"hours": "85.5"}))["hours"] == 85.5

    page = operator.refused(NEW, **filled(operator, {"hours": "90"}))

    assert "more than has passed since the last reading (85.5 h, today 06:30)" in page.text


def test_who_insists_is_believed_but_the_reading_is_doubtful(operator: Client, db: Session):
    answer = walk(operator, {"hours": "990", "insisted": "y"})

    body = body_of(db, answer)
    assert (body["hours"], body["insisted"]) == (990, True)
    assert "990 h, doubtful" in operator.page(answer.headers["Location"]).text
    assert standing_hours(db) == 84


def test_insisting_on_what_nobody_doubts_marks_nothing(operator: Client, db: Session):
    assert "insisted" not in body_of(db, walk(operator, {"hours": "84.5", "insisted": "y"}))


def test_what_is_no_number_is_asked_again(operator: Client):
    for typed in ("x", "-5", "84h"):
        page = operator.refused(NEW, **filled(operator, {"hours": typed}))

        assert "Give what the hour meter shows" in page.text
