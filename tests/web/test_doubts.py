from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.enter import Sender, enter
from walkaround.store import refused
from walkaround.store.models import RefusedRow

ID = "018fd3a0-0000-4000-8000-000000000001"
SETTLING = f"/units/L07/doubts/{ID}/settling"


@pytest.fixture
def doubt(db: Session) -> None:
    """The same id came with two contents."""
    for what in ("Step loose", "Step <b>gone</b>"):
        enter_as("101", db, make.entry("defect", {"what": what}, id=ID))


def test_nothing_in_doubt_is_said(supervisor: Client):
    assert "Nothing is in doubt." in supervisor.page("/doubts").text
    assert "Nothing was refused." in supervisor.page("/refused").text


def test_a_doubt_shows_both_contents_and_a_way_to_settle_it(supervisor: Client, doubt: None):
    page = supervisor.page("/doubts")

    assert "the same id came with other content" in page.text
    assert "Step loose" in page.text
    assert "Step <b>gone</b>" in page.text
    assert page.find("a", href=SETTLING)


def test_settling_ends_the_doubt_and_no_defect(supervisor: Client, doubt: None):
    entry = supervisor.page(SETTLING).find(id="entry")["value"]

    answer = supervisor.submit(SETTLING, entry=entry, note="Olga typed twice")
    again = supervisor.submit(SETTLING, entry=entry, note="Olga typed twice")

    assert [one.status_code for one in (answer, again)] == [303, 303]
    assert "Nothing is in doubt." in supervisor.page("/doubts").text
    verdict = supervisor.api("GET", "/units/L07").json["verdict"]
    assert verdict["state"] == "tagged_out"
    assert "doubt" not in [reason["code"] for reason in verdict["reasons"]]


def test_settling_wants_words_and_the_pin(supervisor: Client, doubt: None, clock: Any):
    entry = supervisor.page(SETTLING).find(id="entry")["value"]
    clock.shift(6 * 60)

    page = supervisor.refused(SETTLING, entry=entry, note=" ")

    assert page.find(id="note-error")
    assert page.find(id="pin-error")


def test_what_is_settled_is_not_settled_again(supervisor: Client, doubt: None):
    first, second = (supervisor.page(SETTLING).find(id="entry")["value"] for _ in range(2))
    supervisor.submit(SETTLING, entry=first, note="asked")

    page = supervisor.refused(SETTLING, status=409, entry=second, note="asked again")

    assert "was settled already" in page.text


def test_what_was_refused_is_shown_with_its_reason_and_content(supervisor: Client, db: Session):
    enter_as("101", db, make.entry("hold", {"reason": "<i>not</i> mine"}))
    enter_as("101", db, make.entry("walkaround", {"answers": [{"item": "tyre"}]}))

    page = supervisor.page("/refused")

    assert "it is for other roles" in page.text
    assert "<i>not</i> mine" in page.text
    assert "body.answers.1.item: tyre" in page.text
    assert "Olga Operator" in page.text


def test_what_came_again_and_was_entered_no_longer_calls_from_the_board(
    supervisor: Client, db: Session
):
    first = make.entry("hours", {"value": 90}, unit="L70")
    enter_as("101", db, first)
    assert "1 entry was refused" in supervisor.page("/board").text

    enter_as("101", db, {**first, "unit": "L07"})

    assert "refused" not in supervisor.page("/board").text
    assert "It came again and was entered." in supervisor.page("/refused").text


def test_what_contradicts_calls_from_the_board_until_it_is_settled(supervisor: Client, doubt: None):
    assert "1 entry was refused" in supervisor.page("/board").text
    entry = supervisor.page(SETTLING).find(id="entry")["value"]

    supervisor.submit(SETTLING, entry=entry, note="Olga typed twice")

    assert "refused" not in supervisor.page("/board").text
    assert "It came again" not in supervisor.page("/refused").text


def test_content_that_was_made_to_break_readers_is_shown_all_the_same(
    supervisor: Client, db: Session
):
    deep: Any = "bottom"
    for _ in range(6):
        deep = {"step": [deep]}
    enter_as("101", db, make.entry("hold", {"reason": deep, "many": list(range(1000))}))
    enter_as("101", db, {"unit": 7, "kind": ["x"], "id": None, "body": 1e999})

    page = supervisor.page("/refused")

    assert "and 804 more" in page.text
    assert "Entry of an unknown kind" in page.text


def test_refusals_come_in_pages(supervisor: Client, db: Session):
    for number in range(refused.SIZE + 1):
        row = RefusedRow(site=make.SITE, id=str(number), received_at=number, by="101")
        row.why, row.content = f"reason {number}.", "{}"
        refused.keep(db, row)
    db.commit()

    first, last = supervisor.page("/refused"), supervisor.page("/refused", page="1")

    assert "reason 30." in first.text
    assert "reason 0." not in first.text
    assert "reason 0." in last.text
    assert first.find("a", rel="next")["href"] == "/refused?page=1"
    assert last.find("a", rel="prev")["href"] == "/refused?page=0"


@pytest.mark.parametrize("path", ["/doubts", "/refused", SETTLING])
def test_only_a_supervisor_sees_and_settles(
    client: Client, operator: Client, mechanic: Client, path: str
):
    assert client.get(path).status_code == 303
    operator.page(path, status=403)
    mechanic.page(path, status=403)


@pytest.mark.parametrize(
    "path", [SETTLING, "/units/X99/doubts/1/settling", "/units/L07/doubts/1/settling"]
)
def test_there_is_nothing_to_settle_where_there_is_no_doubt(supervisor: Client, path: str):
    supervisor.page(path, status=404)


def enter_as(by: str, db: Session, entry: dict[str, Any]) -> None:
    enter(db, entry, Sender(by, proved=True), make.at(30))
