import io
import json
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import pictures
from tests.client import Client
from walkaround.store import entries
from walkaround.store.photos import name_of

NEW = "/units/L07/defects/new"


def fields(client: Client, item: str, **given: Any) -> dict[str, Any]:
    hidden = client.page(NEW, item=item).select_one('[name="entry"]')
    return {"entry": hidden["value"], **given}


def bodies(db: Session) -> list[dict[str, Any]]:
    found = [json.loads(row.body) for row in entries.of_unit(db, "L07")]
    db.rollback()
    return found


def test_places_are_those_of_the_unit_s_lists(operator: Client):
    page = operator.page(NEW)

    links = [a["href"].partition("=")[2] for a in page.select("main a")]
    assert links == ["", "tyre", "seat", "coupler", "pressure", "horn", "isolator"]
    assert "Stop the machine safely first" in page.text


def test_a_report_tags_the_unit_out(operator: Client, db: Session):
    sent = fields(operator, "tyre", findings=["cut", "made up"])

    answer = operator.submit(f"{NEW}?item=tyre", **sent)

    assert (answer.status_code, answer.headers["Location"]) == (303, "/units/L07")
    assert bodies(db) == [{"item": "tyre", "what": "cut to the cords", "findings": ["cut"]}]
    page = operator.page("/units/L07")
    assert page.h1.text == "Tagged out"
    assert "Your report is in the logbook of L07." in page.text


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_was_only_tapped_is_said_once(operator: Client, of_operator, language: str):
    body = {"item": "tyre", "what": "Cut to the cords, bulge", "findings": ["cut", "bulge"]}
    of_operator.enter_one("defect", body)

    (reason,) = of_operator.read("/units/L07", lang=language)["verdict"]["reasons"][:1]

    words = {"en": "Tyre: cut to the cords, bulge", "es": "Neumático: corte hasta las lonas, bulto"}
    assert reason["text"] == words[language]


def test_something_that_no_list_names_can_kill_as_well(operator: Client, db: Session):
    sent = fields(operator, "", what="Ladder torn off", critical="y")

    operator.submit(f"{NEW}?item=", **sent)

    assert bodies(db) == [{"what": "Ladder torn off", "critical": True}]
    assert operator.page("/units/L07").select_one(".tag").text == "can kill"


def test_a_report_without_words_is_asked_for_them(operator: Client, db: Session):
    sent = fields(operator, "tyre", what="  ")

    page = operator.refused(f"{NEW}?item=tyre", **sent)

    assert page.select_one("#what-error").text == "Say what is wrong, in words or by tapping."
    assert bodies(db) == []


def test_a_photo_goes_along_and_is_kept_while_the_form_comes_back(operator: Client, db: Session):
    photo = (io.BytesIO(pictures.jpeg()), "horn.jpg")
    page = operator.refused(f"{NEW}?item=horn", **fields(operator, "horn", photo=photo))
    kept = page.select_one('[name="photos"]')["value"]

    sent = fields(operator, "horn", what="silent", photos=kept)
    operator.submit(f"{NEW}?item=horn", **sent)

    assert kept == name_of(pictures.jpeg())
    assert bodies(db)[0]["photos"] == [kept]


def test_a_report_sent_twice_is_entered_once(operator: Client, db: Session):
    sent = fields(operator, "horn", what="silent")

    for _ in range(2):
        assert operator.submit(f"{NEW}?item=horn", **sent).status_code == 303

    assert len(bodies(db)) == 1


def test_a_report_with_a_broken_id_raises_no_doubt(operator: Client, db: Session):
    operator.refused(f"{NEW}?item=horn", entry="x", what="silent")

    assert bodies(db) == []


def test_an_item_that_is_made_up_counts_as_none(operator: Client, db: Session):
    operator.submit(f"{NEW}?item=flux", **fields(operator, "flux", what="smokes"))

    assert bodies(db) == [{"what": "smokes"}]


def test_without_a_unit_there_is_nothing(operator: Client):
    operator.page("/units/X99/defects/new", 404)


def test_who_is_not_signed_in_is_asked_to(client: Client):
    assert client.get(NEW).headers["Location"] == f"/sign-in?next={NEW}"
