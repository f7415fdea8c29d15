import io
from collections.abc import Callable

import pypdf
import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.replace_label import replace_label
from walkaround.actions.set_site import set_site
from walkaround.rules import instant
from walkaround.store import labels

Enrolled = Callable[[], Client]


@pytest.fixture
def token(db: Session) -> str:
    found = labels.current(db, "L07")
    db.rollback()
    return found


def test_a_stranger_sees_number_verdict_and_whom_to_call(client: Client, db: Session, token: str):
    set_site(db, {"call": "Site office 555 0142"}, make.DAWN)

    page = client.page(f"/q/{token}")

    assert page.find(class_="header__number").text == "L07"
    assert page.h1.text == "Not checked"
    assert "Call Site office 555 0142." in page.text


def test_a_stranger_sees_no_people_notes_or_hours(client: Client, operator: Client, token: str):
    body = make.walkaround(tyre="defect", more={"hours": 91.5})
    body["answers"][0]["note"] = "Olga saw a bulge"
    send(operator, make.entry("walkaround", body))

    page = client.page(f"/q/{token}")

    assert page.h1.text == "Tagged out"
    for secret in ("Olga", "101", "bulge", "Tyre", "91", "06:10", "14:00"):
        assert secret not in page.text


def test_a_site_may_hide_verdict_and_whom_to_call(client: Client, db: Session, token: str):
    set_site(db, {"call": "Site office 555 0142", "label_hides": "on"}, make.DAWN)

    page = client.page(f"/q/{token}")

    assert page.h1.text == "L07"
    assert not page.find(class_="plate")
    assert "555" not in page.text


def test_an_enrolled_phone_is_led_to_the_sign_in_and_then_to_the_unit(
    enrolled: Enrolled, token: str
):
    phone = enrolled()
    answer = phone.get(f"/q/{token}")

    assert answer.status_code == 303
    assert answer.headers["Location"] == "/sign-in?next=/units/L07"


def test_somebody_signed_in_is_led_to_the_unit(operator: Client, token: str):
    answer = operator.get(f"/q/{token}")

    assert (answer.status_code, answer.headers["Location"]) == (303, "/units/L07")


def test_a_replaced_label_looks_to_strangers_like_an_unknown_one(
    client: Client, operator: Client, db: Session, token: str
):
    replace_label(db, "L07", make.at(5), by="301")

    for reader in (client, operator):
        old = reader.page(f"/q/{token}", status=410)
        unknown = reader.page("/q/neverMadeByThisSite2345", status=404)

        assert old.h1.text == "This label is out of date"
        assert old.main == unknown.main
        assert "L07" not in old.text


def test_a_supervisor_is_told_whose_old_label_it_is(supervisor: Client, db: Session, token: str):
    replace_label(db, "L07", make.at(5), by="301")

    page = supervisor.page(f"/q/{token}", status=410)

    assert "It was the label of L07" in page.text
    assert page.find("a", href="/labels?unit=L07")


def test_the_page_offers_every_unit_and_those_asked_for_are_chosen(supervisor: Client):
    page = supervisor.page("/labels", unit="L07")

    boxes = {box["value"]: box.has_attr("checked") for box in page.find_all(attrs={"name": "unit"})}
    assert boxes == {"D02": False, "L07": True}


@pytest.mark.parametrize(("query", "numbers"), [("", {"L07", "D02"}), ("?unit=L07", {"L07"})])
def test_labels_come_as_a_pdf(supervisor: Client, query: str, numbers: set[str]):
    answer = supervisor.get(f"/labels.pdf{query}")

    assert answer.mimetype == "application/pdf"
    assert "attachment" in answer.headers["Content-Disposition"]
    # read back by an independent library
    printed = pypdf.PdfReader(io.BytesIO(answer.data)).pages[0].extract_text()
    assert {number for number in ("L07", "D02") if number in printed} == numbers


def test_there_is_no_label_of_an_unknown_unit(supervisor: Client):
    assert supervisor.get("/labels.pdf?unit=L07&unit=X99").status_code == 404
    supervisor.page("/units/X99/label/replacement", status=404)


def test_a_label_is_replaced_and_the_old_one_is_over(
    supervisor: Client, client: Client, token: str
):
    answer = supervisor.submit("/units/L07/label/replacement")

    assert (answer.status_code, answer.headers["Location"]) == (303, "/labels?unit=L07")
    assert "The old label of L07 is over." in supervisor.page("/labels", unit="L07").text
    client.page(f"/q/{token}", status=410)
    book = supervisor.api("GET", "/units/L07/logbook").json["entries"]
    assert [(entry["kind"], entry["by"]) for entry in book] == [("label", "301")]


def test_replacing_asks_for_the_pin_when_the_last_proof_is_old(supervisor: Client, clock, token):
    clock.shift(6 * 60)
    path = "/units/L07/label/replacement"

    assert supervisor.page(path).find("input", attrs={"name": "pin"})
    supervisor.refused(path, pin="0000")
    supervisor.refused(path)
    assert supervisor.submit(path, pin="9152").status_code == 303


@pytest.mark.parametrize("path", ["/labels", "/labels.pdf", "/units/L07/label/replacement"])
def test_labels_are_the_supervisors(client: Client, operator: Client, mechanic: Client, path: str):
    assert client.get(path).headers["Location"].startswith("/sign-in?next=/")
    operator.page(path, status=403)
    mechanic.page(path, status=403)


def send(client: Client, entry: dict) -> None:
    sent_at = instant.text(make.at(30))
    answer = client.api("POST", "/entries", json={"sent_at": sent_at, "entries": [entry]})
    assert answer.status_code == 200, answer.text
