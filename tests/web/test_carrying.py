"""Nothing that was entered is lost with a session or a token, and nobody signs for another."""

import io
from typing import Any

import pytest
from bs4 import BeautifulSoup
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client, inspected
from tests.web.walking import CLEAN, NEW, filled
from walkaround.actions.enter import Sender, enter
from walkaround.store import entries
from walkaround.web.carrying import AGAIN, NO_PHOTOS

TORN = {"answer:seat": "defect", "note:seat": "Torn <b>open</b>"}


def walked(client: Client) -> dict[str, Any]:
    """Return a walk that found one thing, as the browser sends it."""
    return {**filled(client, TORN), "csrf_token": client.token()}


def hidden(page: BeautifulSoup) -> dict[str, Any]:
    """Return what a page's form sends of itself."""
    form = page.find("form", method="post")
    assert form
    found = form.find_all("input", type="hidden")
    return {field["name"]: field.get("value", "") for field in found}


def asked(client: Client, path: str, fields: dict[str, Any]) -> tuple[str, dict[str, Any]]:
    """Send a form after the session; return the sign-in's address, and what its form carries."""
    client.submit("/sign-out")
    led = client.post(path, data=fields)
    assert led.status_code == 307
    again = {n: (io.BytesIO(b"x"), v[1]) if n == "photo:seat" else v for n, v in fields.items()}
    there = led.headers["Location"]
    return there, hidden(inspected(client.post(there, data=again)))


def carried(client: Client, path: str, fields: dict[str, Any], who: str) -> BeautifulSoup:
    """Go through the sign-in as a browser does; return the form as it comes back."""
    there, kept = asked(client, path, fields)
    number, _, pin = make.CREW[who]
    given = {**kept, "sign_in-crew_number": number, "sign_in-pin": pin}
    led = client.post(there, data=given)
    assert (led.status_code, led.headers["Location"]) == (307, path)
    shown = client.post(path, data=given)
    assert shown.status_code == 422
    return inspected(shown)


def signed(client: Client, page: BeautifulSoup) -> None:
    """Sign what the page shows."""
    answer = client.post(NEW, data={**CLEAN, **TORN, **hidden(page)})
    assert answer.status_code == 303, answer.text


def logbook(db: Session) -> list[tuple[str, str | None]]:
    """Return kinds and makers of the entries of L07."""
    found = [(row.kind, row.by) for row in entries.of_unit(db, "L07")]
    db.rollback()  # the next request must not wait for this session
    return found


def found_torn(page: BeautifulSoup) -> bool:
    answers = {one["name"]: one["value"] for one in page.find_all("input", checked=True)}
    note = page.find(id="note:seat")
    return answers["answer:seat"] == "defect" and bool(note) and note.text == "Torn <b>open</b>"


def test_a_walk_outlives_the_session_and_is_signed_once_more(operator: Client, db: Session):
    before = logbook(db)

    page = carried(operator, NEW, walked(operator), "Olga Operator")

    assert found_torn(page)
    assert AGAIN in page.text
    assert logbook(db) == before
    signed(operator, page)
    assert logbook(db) == [*before, ("walkaround", "101")]


def test_who_signs_in_instead_is_who_signs(operator: Client, db: Session):
    page = carried(operator, NEW, walked(operator), "Sara Supervisor")

    signed(operator, page)

    assert logbook(db)[-1] == ("walkaround", "301")


def test_words_of_a_mechanic_come_back_and_the_pin_does_not(mechanic: Client, db: Session):
    made = make.entry("defect", {"what": "Step loose"})
    enter(db, made, Sender("101", proved=True), make.at(30))
    path = f"/defects/L07/{made['id']}/clearing"
    form = hidden(mechanic.page(path))

    page = carried(mechanic, path, {**form, "work": "Welded", "pin": "7306"}, "Milan Mechanic")

    assert page.find(id="work").text.strip() == "Welded"
    assert "7306" not in str(page)
    assert logbook(db)[-1] == ("defect", "101")


def test_the_crew_number_of_somebody_new_is_not_taken_for_ones_own(supervisor: Client):
    form = hidden(supervisor.page("/people/new"))
    fields = {**form, "crew_number": "177", "name": "Nora New"}

    page = carried(supervisor, "/people/new", fields, "Sara Supervisor")

    assert page.find(id="crew_number")["value"] == "177"
    assert "Nora New" not in supervisor.page("/people").text


def test_photos_that_cannot_be_carried_are_named(operator: Client):
    photo = {"photo:seat": (io.BytesIO(b"x"), "seat.jpg")}

    assert NO_PHOTOS in carried(operator, NEW, {**walked(operator), **photo}, "Olga Operator").text


def test_a_wrong_pin_on_the_way_keeps_everything(operator: Client):
    there, kept = asked(operator, NEW, walked(operator))

    wrong = {**kept, "sign_in-crew_number": "101", "sign_in-pin": "9999"}
    page = inspected(operator.post(there, data=wrong))

    assert page.find(id="pin-error")
    tokens = {"csrf_token": "", "sign_in-csrf_token": ""}
    assert {**hidden(page), **tokens} == {**kept, **tokens}


def test_a_form_whose_token_is_no_good_comes_back_filled_in(operator: Client, db: Session):
    before = logbook(db)
    refused = operator.post(NEW, data={**walked(operator), "csrf_token": "gone"})
    assert refused.status_code == 400

    page = inspected(operator.post(NEW, data=hidden(inspected(refused))))

    assert found_torn(page)
    assert logbook(db) == before


def test_what_another_site_sent_is_not_shown_again(operator: Client):
    headers = {"Sec-Fetch-Site": "cross-site"}

    refused = operator.post(NEW, data=walked(operator), headers=headers)

    assert (refused.status_code, "Torn" in refused.text) == (400, False)


@pytest.mark.parametrize("there", ["/sign-in?carried=1", "/sign-in?carried=1&next=//evil.example"])
def test_what_has_no_place_to_go_is_not_posted_anywhere(enrolled: Any, there: str):
    phone = enrolled()
    number, _, pin = make.CREW["Olga Operator"]
    given = {"csrf_token": phone.token(), "sign_in-crew_number": number, "sign_in-pin": pin}

    led = phone.post(there, data={**given, "note": "x"})

    assert (led.status_code, led.headers["Location"]) == (303, "/")
