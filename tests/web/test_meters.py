from typing import Any

import pytest

from tests.client import Client

HOURS, CHANGE = "/units/L07/hours/new", "/units/L07/meter/change"  # L07 stood at 84 h at six


def test_a_reading_moves_the_hour_meter(operator: Client):
    answer = post(operator, HOURS, hours="84,5")

    assert (answer.status_code, answer.headers["Location"]) == (303, "/units/L07")
    assert standing(operator) == 84.5


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "Give the reading."),
        ("many", "in figures"),
        ("-1", "in figures"),
        ("83.9", "lower than the last reading"),
        ("90", "more hours than have passed"),
    ],
)
def test_a_reading_that_cannot_be_is_sent_back(operator: Client, typed: str, words: str):
    page = operator.refused(HOURS, **form(operator, HOURS), hours=typed)

    assert words in page.find(id="hours-error").text
    assert page.find(id="hours")["value"] == typed
    assert standing(operator) == 84


def test_who_insists_is_kept_as_doubtful(operator: Client):
    page = operator.refused(HOURS, **form(operator, HOURS), hours="90")
    assert page.find("input", attrs={"name": "insisted"})

    assert post(operator, HOURS, hours="90", insisted="y").status_code == 303

    assert standing(operator) == 84
    assert "90 h (insisted on, so doubtful)" in operator.page("/units/L07/logbook").text


def test_insisting_on_a_plain_reading_makes_it_no_doubt(operator: Client):
    post(operator, HOURS, hours="84.5", insisted="y")

    assert standing(operator) == 84.5


def test_the_hours_go_on_from_a_new_meter(supervisor: Client):
    assert post(supervisor, CHANGE, old="84.2", new="0", note="glass broken").status_code == 303

    assert standing(supervisor) == 0
    assert "From 84.2 h to 0 h" in supervisor.page("/units/L07/logbook").text


def test_a_new_meter_wants_both_readings_and_why(supervisor: Client):
    page = supervisor.refused(CHANGE, **form(supervisor, CHANGE), old="x", new="", note=" ")

    assert [page.find(id=f"{name}-error") is not None for name in ("old", "new", "note")] == [
        True
    ] * 3


@pytest.mark.parametrize("path", [HOURS, CHANGE])
def test_the_pin_is_asked_for_when_the_last_proof_is_old(supervisor: Client, clock: Any, path: str):
    clock.shift(6 * 60)

    assert supervisor.refused(path, hours="84").find(id="pin-error")


def test_everybody_reads_and_only_a_supervisor_changes(
    client: Client, operator: Client, mechanic: Client, supervisor: Client
):
    for path in (HOURS, CHANGE):
        assert client.get(path).status_code == 303
        supervisor.page(path.replace("L07", "X99"), status=404)
    mechanic.page(HOURS)
    operator.page(CHANGE, status=403)


def form(client: Client, path: str) -> dict[str, str]:
    return {"entry": client.page(path).find(id="entry")["value"]}


def post(client: Client, path: str, **fields: str) -> Any:
    return client.submit(path, **form(client, path), **fields)


def standing(client: Client) -> float:
    return client.api("GET", "/units/L07").json["hours"]
