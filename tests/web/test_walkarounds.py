from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from tests.repairs import find
from tests.web.conftest import Program
from tests.web.walking import NEW, answers_of, body_of, filled, walk
from walkaround.store import entries


def test_a_clean_walk_lets_the_unit_run(operator: Client):
    answer = walk(operator)

    page = operator.page(answer.headers["Location"])
    assert page.h1.text == "OK to run"
    assert "5 of 5" in page.text
    assert "Until today 14:00, by the walk of Olga Operator" in page.text


def test_the_entry_says_when_for_which_shift_and_by_which_list(operator: Client, db: Session):
    body = body_of(db, walk(operator))

    assert (body["checklist"], body["version"]) == ("loader-start", make.VERSION)
    assert body["started_at"] == body["finished_at"] == "2026-11-25T05:30:00Z"
    assert body["for_shift"] == "2026-11-25T05:00:00Z"
    assert body["hours"] == 84


def test_the_stations_stand_in_walking_order_with_the_engine_s_caution(operator: Client):
    page = operator.page(NEW)

    stops = [one.text for one in page.select("h2.stop__title")]
    running = page.select_one("#item-horn .caution")
    assert stops == ["Front left, on the ground", "In the cab"]
    assert "Never use the phone while climbing" in running.text
    assert not page.select("#item-seat .caution")


def test_how_to_look_stands_on_the_walk_and_is_no_part_of_a_defects_name(
    operator: Client, mechanic: Client, of_operator: Program
):
    asked = operator.page(NEW).select_one("#item-coupler")
    find(of_operator, coupler={})
    line = mechanic.page("/defects").select_one("main .row")

    assert asked.select_one(".step__look").text == "Quick coupler"
    assert "By eye, from the side." in asked.text
    assert "Quick coupler" in line.text
    assert "By eye" not in line.text


def test_there_is_no_way_to_answer_everything_at_once(operator: Client):
    page = operator.page(NEW)

    for item in ("tyre", "seat", "horn"):
        assert len(page.select(f'[name="answer:{item}"][value="in_order"]')) == 1
    assert not page.select("[checked]")
    sends = [b for b in page.select("form button") if b.get("type") != "button"]
    assert [b.get_text(" ") for b in sends] == ["Sign and hand in Olga Operator, 101"]


def test_the_signature_says_what_it_means(operator: Client):
    page = operator.page(NEW)

    assert "I do not say that the machine is safe" in page.select_one("#sign").text


def test_a_defect_tags_the_unit_out_with_what_to_do(operator: Client, db: Session):
    given = {"answer:tyre": "defect", "findings:tyre": ["cut", "made up"], "note:tyre": "two"}

    answer = walk(operator, given)

    page = operator.page(answer.headers["Location"])
    assert page.h1.text == "Tagged out"
    for words in ("Park it, take the key", "does not isolate energy", "Not to be worked"):
        assert words in page.text
    tyre = answers_of(db, answer)["tyre"]
    assert tyre == {"answer": "defect", "findings": ["cut"], "note": "two"}


def test_a_photo_that_was_asked_for_is_named_and_never_a_reason_to_refuse(operator: Client):
    answer = walk(operator, {"answer:tyre": "defect"})

    assert "A photo was asked for; there is none." in operator.page(answer.headers["Location"]).text


def test_a_missing_answer_is_named_and_nothing_is_lost(operator: Client, db: Session):
    given = {"answer:seat": None, "answer:tyre": "defect", "note:tyre": "cut deep"}

    page = operator.refused(NEW, **filled(operator, {**given, "findings:tyre": "cut"}))

    assert [a["href"] for a in page.select(".errors a")] == ["#item-seat"]
    assert "Seat: There is no answer yet." in page.select_one(".errors").text
    assert page.find("textarea", attrs={"name": "note:tyre"}).text == "cut deep"
    assert page.select_one('[name="findings:tyre"][value="cut"]').has_attr("checked")
    assert page.select_one('[name="answer:tyre"][value="defect"]').has_attr("checked")
    assert entries.of_unit(db, "L07") == []


def test_could_not_check_asks_why(operator: Client):
    page = operator.refused(NEW, **filled(operator, {"answer:seat": "could_not_check"}))

    assert "Seat: Write why it could not be checked." in page.text


def test_could_not_check_leaves_the_unit_not_checked(operator: Client):
    given = {"answer:seat": "could_not_check", "note:seat": "somebody sleeps on it"}

    page = operator.page(walk(operator, given).headers["Location"])

    assert page.h1.text == "Not checked"
    assert "4 of 5" in page.text
    assert "somebody sleeps on it" in page.text


def test_not_fitted_is_offered_only_where_the_list_allows_it(operator: Client):
    page = operator.page(NEW)

    assert page.select('[name="answer:coupler"][value="not_fitted"]')
    assert not page.select('[name="answer:seat"][value="not_fitted"]')
    refused = operator.refused(NEW, **filled(operator, {"answer:seat": "not_fitted"}))
    assert "Seat: There is no answer yet." in refused.text


def test_a_remark_on_what_is_in_order_blocks_nothing(operator: Client, db: Session):
    answer = walk(operator, {"note:seat": "getting thin", "findings:seat": "torn"})

    assert answers_of(db, answer)["seat"] == {"answer": "in_order", "note": "getting thin"}
    assert operator.page(answer.headers["Location"]).h1.text == "OK to run"


def test_a_form_sent_twice_is_entered_once(operator: Client, db: Session):
    fields = filled(operator)

    first, second = operator.submit(NEW, **fields), operator.submit(NEW, **fields)

    assert first.headers["Location"] == second.headers["Location"]
    assert len(entries.of_unit(db, "L07")) == 1


def test_somebody_else_s_id_is_refused(operator: Client, mechanic: Client):
    fields = filled(operator)
    operator.submit(NEW, **fields)

    page = mechanic.refused(NEW, **fields)

    assert "used for something else already" in page.text


def test_a_form_with_a_broken_id_is_refused_and_raises_no_doubt(operator: Client, db: Session):
    page = operator.refused(NEW, **filled(operator, {"entry": "x"}))

    assert "Open it again" in page.text
    assert entries.of_unit(db, "L07") == []


def test_moments_of_the_phone_are_told_by_our_clock(operator: Client, db: Session, clock):
    fields = filled(operator)
    clock.shift(120)
    phone = {"at:tyre": "1000000", "at:seat": "500000", "at:horn": "x", "sent": "1060000"}

    answers = answers_of(db, operator.submit(NEW, **{**fields, **phone}))

    assert answers["tyre"]["at"] == "2026-11-25T05:31:00Z"
    assert "at" not in answers["seat"]  # before the page was opened: no clock shows that
    assert "at" not in answers["horn"]


def test_an_unknown_list_is_asked_for_again_by_the_one_of_today(operator: Client, db: Session):
    page = operator.refused(NEW, **filled(operator, {"version": "0" * 64, "answer:seat": None}))

    assert page.select_one('[name="version"]')["value"] == make.VERSION


def test_the_end_of_the_shift_has_a_list_of_its_own(operator: Client):
    page = operator.page(NEW, occasion="end_of_shift")

    assert page.select_one('[name="checklist"]')["value"] == "loader-end"


def test_without_a_unit_or_a_list_there_is_nothing(operator: Client):
    operator.page("/units/X99/walkarounds/new", 404)
    operator.page(NEW, 404, occasion="after_repair")


def test_who_is_not_signed_in_is_asked_to(client: Client):
    answer = client.get(NEW)

    assert answer.status_code == 303
    assert "/sign-in?next=/units/L07/walkarounds/new" in answer.headers["Location"]


def test_everybody_may_walk(mechanic: Client, supervisor: Client):
    assert walk(mechanic).status_code == walk(supervisor).status_code == 303


@pytest.fixture
def electric(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list says that no engine runs in these machines."""
    folder = tmp_path / "lists"
    folder.mkdir()
    for path in make.LISTS.glob("*.yaml"):
        text = path.read_text().replace("stations:\n", "power: electric\nstations:\n", 1)
        (folder / path.name).write_text(text)
    monkeypatch.setattr(make, "LISTS", folder)


def test_a_machine_without_an_engine_is_switched_on_and_off(electric: None, operator: Client):
    page = operator.page(NEW)

    assert "Switched on." in page.text
    assert "Switched off." in page.text
    assert "From here the machine is switched on." in page.text
    assert "From here the engine runs." not in page.text
