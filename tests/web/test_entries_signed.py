"""POST /api/v1/entries: who signs, by sealed PIN, session or token."""

import uuid

import pytest

from tests import make
from tests.web.entered import clean, codes, last, signed, state
from walkaround.actions.person_leaves import person_leaves
from walkaround.rules import instant


def test_who_signs_with_a_sealed_pin_is_the_maker(of_mechanic):
    result = of_mechanic.enter(signed(of_mechanic, clean(), "4821"))[0]

    assert "why" not in result
    assert (last(of_mechanic)["by"], last(of_mechanic)["signature"]) == ("101", "confirmed")
    assert state(of_mechanic) == "ok_to_run"


@pytest.mark.parametrize(
    ("number", "pin", "sealed_for"),
    [
        ("101", "9999", None),
        ("101", "4821", str(uuid.uuid4())),
        ("999", "4821", None),
    ],
    ids=["wrong PIN", "seal of another entry", "unknown crew number"],
)
def test_whoever_does_not_prove_it_signs_nothing(of_mechanic, number, pin, sealed_for):
    entry = signed(of_mechanic, clean(), pin, number=number, sealed_for=sealed_for)

    result = of_mechanic.enter(entry)[0]

    assert (result["result"], last(of_mechanic)["signature"]) == ("accepted", "unconfirmed")
    assert result["why"]
    assert last(of_mechanic)["by"] == number
    assert codes(of_mechanic) == ["unconfirmed"]


@pytest.mark.parametrize(
    "signer", [{}, {"crew_number": "101"}, {"crew_number": 101}, "101", {"crew_number": "a/b"},
               {"crew_number": "101", "sealed_pin": 7}, {"crew_number": "101", "sealed_pin": "x"},
               {"crew_number": "101", "sealed_pin": "A" * 512}],
)  # fmt: skip
def test_half_a_signer_signs_nothing(of_mechanic, signer):
    of_mechanic.enter({**clean(), "signer": signer})

    assert last(of_mechanic)["signature"] == "unconfirmed"
    assert codes(of_mechanic) == ["unconfirmed"]


def test_who_has_left_signs_nothing_that_they_made_afterwards(of_mechanic, db):
    person_leaves(db, "101", make.at(5))

    of_mechanic.enter(signed(of_mechanic, clean(), "4821"))

    assert last(of_mechanic)["signature"] == "unconfirmed"
    assert codes(of_mechanic) == ["unconfirmed"]


def test_an_unconfirmed_failure_counts(of_mechanic):
    walk = make.entry("walkaround", make.walkaround(seat="defect"))

    of_mechanic.enter(signed(of_mechanic, walk, "9999"))

    assert codes(of_mechanic) == ["defect", "unconfirmed"]


def test_an_unconfirmed_clear_ends_nothing(of_operator, of_mechanic):
    found = of_operator.enter_one("defect", {"what": "Hose weeping"})["defects"]
    clear = {"defects": found, "outcome": "repaired", "work": "New hose"}

    of_operator.enter(signed(of_operator, make.entry("clear", clear), "0000", number="201"))

    assert codes(of_operator) == ["defect", "not_walked"]


def test_a_later_signed_copy_confirms_an_unsigned_one(of_mechanic):
    entry = clean()
    of_mechanic.enter(signed(of_mechanic, entry, "9999"))

    result = of_mechanic.enter(signed(of_mechanic, entry, "4821"))[0]

    confirm = last(of_mechanic)
    assert (result["result"], result["verdict"]["state"]) == ("known", "ok_to_run")
    assert (confirm["kind"], confirm["body"]) == ("confirm", {"entry": entry["id"]})
    assert (confirm["by"], confirm["signature"]) == ("101", "confirmed")


def test_a_copy_that_somebody_else_signs_confirms_nothing(of_mechanic):
    entry = clean()
    of_mechanic.enter(signed(of_mechanic, entry, "9999"))

    result = of_mechanic.enter(entry)[0]

    assert result["result"] == "known"
    assert codes(of_mechanic) == ["unconfirmed"]


def test_the_seal_is_kept_nowhere(of_mechanic, db):
    entry = signed(of_mechanic, clean(), "4821")
    refused = signed(of_mechanic, clean(unit="X99"), "4821")

    of_mechanic.enter(entry, refused)

    connection = db.connection().connection.driver_connection
    dump = "\n".join(connection.iterdump())
    for one in (entry, refused):
        assert one["id"] in dump
        assert one["signer"]["sealed_pin"] not in dump


def batch_of(entry):
    return {"sent_at": instant.text(make.at(30)), "entries": [entry]}


def test_a_session_needs_the_csrf_header(operator):
    with_header = operator.api("POST", "/entries", json=batch_of(clean()))
    without = operator.post("/api/v1/entries", json=batch_of(clean()))

    assert with_header.status_code == 200
    assert (without.status_code, without.content_type) == (400, "application/problem+json")
    assert without.json["type"] == "csrf"


def test_the_token_that_me_tells_is_good_for_the_header(operator):
    token = operator.get("/api/v1/me").json["csrf"]

    answer = operator.post(
        "/api/v1/entries", json=batch_of(clean()), headers={"X-CSRF-Token": token}
    )

    assert answer.status_code == 200


def test_a_program_with_a_token_needs_no_header_and_signs_as_its_person(of_operator):
    of_operator.enter(clean())

    assert (last(of_operator)["by"], last(of_operator)["signature"]) == ("101", "confirmed")


def test_a_token_beside_a_session_does_not_open_what_the_session_does_not(operator, of_supervisor):
    bearer = {"Authorization": f"Bearer {of_supervisor.token}"}

    answer = operator.post("/api/v1/entries", json=batch_of(clean()), headers=bearer)

    assert (answer.status_code, answer.json["type"]) == (400, "csrf")
    assert operator.get("/api/v1/refused", headers=bearer).status_code == 403


@pytest.mark.parametrize("headers", [{}, {"Authorization": "Bearer no-token"},
                                     {"Authorization": "Basic MTAxOjQ4MjE="}])  # fmt: skip
def test_who_is_not_signed_in_enters_nothing(client, headers):
    answer = client.post("/api/v1/entries", json=batch_of(clean()), headers=headers)

    assert (answer.status_code, answer.content_type) == (401, "application/problem+json")
    assert "Location" not in answer.headers
