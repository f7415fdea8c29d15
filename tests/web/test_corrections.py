from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.enter import Sender, enter

ID = "018fd3a0-0000-4000-8000-000000000001"
CORRECTION, CONFIRMATION = f"/entries/{ID}/correction", f"/entries/{ID}/confirmation"


def test_a_walk_of_the_wrong_unit_is_withdrawn_by_who_walked(operator: Client, db: Session):
    enter_as("101", db, "walkaround", make.walkaround())
    assert state(operator) == "ok_to_run"
    page = operator.page(CORRECTION)
    assert "5 answers, 0 failed" in page.text

    answer = post(operator, CORRECTION, what="I walked L08", withdraws="y")

    assert (answer.status_code, answer.headers["Location"]) == (303, "/units/L07/logbook")
    assert state(operator) == "not_checked"
    book = operator.page("/units/L07/logbook").text
    assert "I walked L08" in book
    assert "Withdrawn: what it covers" in book


def test_withdrawing_ends_no_defect(supervisor: Client, db: Session):
    enter_as("101", db, "walkaround", make.walkaround(tyre="defect"))

    post(supervisor, CORRECTION, what="wrong unit", withdraws="y")

    assert state(supervisor) == "tagged_out"


def test_words_alone_take_nothing_back(operator: Client, db: Session):
    enter_as("101", db, "walkaround", make.walkaround())

    post(operator, CORRECTION, what="the horn was hoarse")

    assert state(operator) == "ok_to_run"


def test_what_covers_nothing_is_not_withdrawn(supervisor: Client, db: Session):
    enter_as("101", db, "defect", {"what": "Step loose"})
    page = supervisor.page(CORRECTION)
    assert not page.find(id="withdraws")

    post(supervisor, CORRECTION, what="left step", withdraws="y")

    assert "Withdrawn" not in supervisor.page("/units/L07/logbook").text
    assert state(supervisor) == "tagged_out"


def test_only_the_author_or_a_supervisor_corrects(
    client: Client, mechanic: Client, supervisor: Client, db: Session
):
    enter_as("101", db, "hours", {"value": 84.2})

    assert client.get(CORRECTION).status_code == 303
    mechanic.page(CORRECTION, status=403)
    supervisor.page(CORRECTION)


@pytest.mark.parametrize("what", ["", " \n", "x" * 2001])
def test_a_correction_wants_words(operator: Client, db: Session, what: str):
    enter_as("101", db, "hours", {"value": 84.2})

    assert operator.refused(CORRECTION, **form(operator, CORRECTION), what=what).find(
        id="what-error"
    )


def test_ones_own_unconfirmed_entry_is_confirmed(operator: Client, db: Session):
    enter_as("101", db, "walkaround", make.walkaround(), proved=False)
    assert state(operator) == "not_checked"
    assert operator.page("/units/L07/logbook").find("a", href=CONFIRMATION)

    assert post(operator, CONFIRMATION).status_code == 303

    assert state(operator) == "ok_to_run"
    assert not operator.page("/units/L07/logbook").find("a", href=CONFIRMATION)


def test_nobody_confirms_for_somebody_else(client: Client, supervisor: Client, db: Session):
    enter_as("101", db, "walkaround", make.walkaround(), proved=False)

    assert client.get(CONFIRMATION).status_code == 303
    supervisor.page(CONFIRMATION, status=403)


def test_what_is_confirmed_needs_no_confirmation(operator: Client, db: Session):
    enter_as("101", db, "hours", {"value": 84.2})

    operator.page(CONFIRMATION, status=404)


def test_confirming_asks_for_the_pin_when_the_last_proof_is_old(
    operator: Client, db: Session, clock: Any
):
    enter_as("101", db, "walkaround", make.walkaround(), proved=False)
    clock.shift(6 * 60)

    assert operator.refused(CONFIRMATION, **form(operator, CONFIRMATION)).find(id="pin-error")
    assert state(operator) == "not_checked"
    assert post(operator, CONFIRMATION, pin="4821").status_code == 303


@pytest.mark.parametrize("path", ["correction", "confirmation"])
def test_there_is_nothing_to_say_of_what_is_not_there(supervisor: Client, db: Session, path: str):
    supervisor.page(f"/entries/{ID}/{path}", status=404)
    enter_as("101", db, "walkaround", {"answers": "none"})
    (doubt,) = supervisor.api("GET", "/units/L07/logbook").json["entries"]

    supervisor.page(f"/entries/{doubt['id']}/{path}", status=404)


def form(client: Client, path: str) -> dict[str, str]:
    return {"entry": client.page(path).find(id="entry")["value"]}


def post(client: Client, path: str, **fields: str) -> Any:
    return client.submit(path, **form(client, path), **fields)


def state(client: Client) -> str:
    return client.api("GET", "/units/L07").json["verdict"]["state"]


def enter_as(by: str, db: Session, kind: str, body: dict[str, Any], *, proved: bool = True) -> None:
    enter(db, make.entry(kind, body, id=ID), Sender(by, proved=proved), make.at(30))
