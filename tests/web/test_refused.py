"""Putting right what was refused: entered after correction, or noted as dealt with."""

from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.add_unit import add_unit
from walkaround.actions.enter import Sender, enter
from walkaround.rules import instant
from walkaround.store import refused

NOTE = "Olga read the number wrong"
FAST = 3 * instant.HOUR


def test_an_entry_for_an_unknown_unit_enters_for_the_right_one(supervisor: Client, db: Session):
    walk = make.entry("walkaround", make.walkaround(seat="defect"), unit="L70")
    path = refuse(db, walk)
    assert supervisor.page("/refused").find("a", href=path)

    answer = post(supervisor, path, unit="L07", note=NOTE)

    assert (answer.status_code, answer.headers["Location"]) == (303, "/refused")
    entered, words = book(supervisor)
    assert {**walk, "unit": "L07"}.items() <= entered.items()
    assert (entered["by"], entered["signature"]) == ("101", "unconfirmed")
    assert (words["kind"], words["by"], words["signature"]) == ("correction", "301", "confirmed")
    assert words["body"]["entry"] == walk["id"]
    assert "Unit: L70 corrected to L07." in words["body"]["what"]
    assert NOTE in words["body"]["what"]


def test_what_was_bad_in_it_counts_and_what_was_good_waits_for_its_maker(
    supervisor: Client, operator: Client, db: Session
):
    path = refuse(db, make.entry("walkaround", make.walkaround(), unit="L70"))
    post(supervisor, path, unit="L07", note=NOTE)
    assert codes(supervisor) == ["unconfirmed"]

    id = book(operator)[0]["id"]
    confirm = f"/entries/{id}/confirmation"
    operator.submit(confirm, entry=operator.page(confirm).find(id="entry")["value"])

    assert operator.api("GET", "/units/L07").json["verdict"]["state"] == "ok_to_run"


def test_what_was_entered_says_so_and_calls_no_more(supervisor: Client, db: Session):
    path = refuse(db, make.entry("hours", {"value": 85}, unit="L70"))
    assert "1 entry was refused" in supervisor.page("/board").text

    post(supervisor, path, unit="L07", note=NOTE)

    page = supervisor.page("/refused")
    assert "It came again and was entered." in page.text
    assert not page.find("a", href=path)
    assert "refused" not in supervisor.page("/board").text
    assert "Unit: L70 corrected to L07." in supervisor.page("/units/L07/logbook").text


def test_posting_twice_enters_it_once(supervisor: Client, db: Session):
    path = refuse(db, make.entry("defect", {"what": "Hose"}, unit="L70"))
    fields = {**form(supervisor, path), "unit": "L07", "note": NOTE}

    answers = [supervisor.submit(path, **fields) for _ in range(2)]

    assert [one.status_code for one in answers] == [303, 303]
    assert [one["kind"] for one in book(supervisor)] == ["defect", "correction"]
    assert supervisor.get(path).headers["Location"] == "/units/L07/logbook"


def test_a_unit_that_was_added_since_need_not_be_chosen(supervisor: Client, db: Session):
    path = refuse(db, make.entry("defect", {"what": "Hose"}, unit="L70"))
    add_unit(db, "L70", "wheel loader", make.at(20))
    assert not supervisor.page(path).find(id="unit")

    post(supervisor, path, note="It is new here")

    assert [one["kind"] for one in book(supervisor, "L70")] == ["defect", "correction"]
    assert "corrected to" not in book(supervisor, "L70")[1]["body"]["what"]


@pytest.mark.parametrize(
    ("broken", "asked"),
    [("made_at", "made_at"), ("started_at", "started_at"), ("finished_at", "finished_at")],
)
def test_a_time_that_could_not_be_read_is_corrected(
    supervisor: Client, db: Session, broken: str, asked: str
):
    walk = make.entry("walkaround", make.walkaround(seat="defect"))
    (walk if broken == "made_at" else walk["body"])[broken] = "a quarter past six"
    path = refuse(db, walk)

    answer = post(supervisor, path, **{asked: "2026-11-25T06:15"}, note=NOTE)

    assert answer.headers["Location"] == "/doubts"  # what could not be read blocks all the same
    doubt, entered, words = book(supervisor)
    holder = entered if broken == "made_at" else entered["body"]
    assert (doubt["kind"], holder[broken]) == ("doubt", "2026-11-25T05:15:00Z")
    assert "a quarter past six corrected to 2026-11-25T05:15:00Z" in words["body"]["what"]
    assert "It came again and was entered." in supervisor.page("/refused").text


def test_what_a_phone_with_a_wrong_clock_made_is_judged_by_the_right_one(
    supervisor: Client, operator: Client, db: Session
):
    path = refuse(db, fast(make.entry("walkaround", make.walkaround(), unit="L70")), ahead=FAST)
    page = supervisor.page(path).text
    assert "Made today 06:10" in page
    assert "The phone's clock was 180 minutes fast" in page

    post(supervisor, path, unit="L07", note=NOTE)
    id = book(operator)[0]["id"]
    confirm = f"/entries/{id}/confirmation"
    operator.submit(confirm, entry=operator.page(confirm).find(id="entry")["value"])

    assert book(operator)[0]["skew_ms"] == -FAST
    assert operator.api("GET", "/units/L07").json["verdict"]["state"] == "ok_to_run"


def test_a_time_is_given_on_the_site_s_clock_whatever_the_phone_s_said(
    supervisor: Client, db: Session
):
    entry = {**make.entry("defect", {"what": "Hose"}), "made_at": "a quarter past six"}
    path = refuse(db, entry, ahead=FAST)

    post(supervisor, path, made_at="2026-11-25T06:15", note=NOTE)

    entered = book(supervisor)[1]
    assert (entered["made_at"], entered["skew_ms"]) == ("2026-11-25T08:15:00Z", -FAST)
    lines = supervisor.api("GET", "/units/L07").json["open_defects"]
    assert "2026-11-25T05:15:00Z" in [line["since"] for line in lines]


@pytest.mark.parametrize("typed", ["", "soon", "2026-11-25T06:31", "1999-12-31T06:00"])
def test_a_time_that_cannot_be_is_sent_back(supervisor: Client, db: Session, typed: str):
    path = refuse(db, {**make.entry("defect", {"what": "Hose"}), "made_at": "yesterday"})

    page = supervisor.refused(path, **form(supervisor, path), made_at=typed, note=NOTE)

    assert page.find(id="made_at-error")
    assert [one["kind"] for one in book(supervisor)] == ["doubt"]


def test_whoever_made_it_is_named_where_it_did_not_say(supervisor: Client, db: Session):
    path = refuse(db, make.entry("defect", {"what": "Hose"}), by="")
    wrong = supervisor.refused(path, **form(supervisor, path), by="999", note=NOTE)
    assert wrong.find(id="by-error")

    post(supervisor, path, by=" 101 ", note=NOTE)

    assert [one["by"] for one in book(supervisor)] == [None, "101", "301"]
    assert book(supervisor)[1]["signature"] == "unconfirmed"


def test_nothing_that_was_found_can_be_changed(supervisor: Client, db: Session):
    walk = make.entry("walkaround", make.walkaround(seat="defect"), unit="L70")
    path = refuse(db, walk)
    more = {"kind": "hours", "body": "{}", "by": "201", "made_at": "2026-11-25T06:00"}

    post(supervisor, path, unit="L07", note=NOTE, **more)

    entered = book(supervisor)[0]
    assert {**walk, "unit": "L07"}.items() <= entered.items()
    assert entered["by"] == "101"


@pytest.mark.parametrize(
    "fields",
    [{"note": NOTE}, {"unit": "", "note": NOTE}, {"unit": "X99", "note": NOTE},
     {"unit": "L07"}, {"unit": "L07", "note": " "}, {"unit": "L07", "note": "x" * 1001}],
)  # fmt: skip
def test_unit_and_words_are_asked_for(supervisor: Client, db: Session, fields: dict[str, str]):
    path = refuse(db, make.entry("defect", {"what": "Hose"}, unit="L70"))

    page = supervisor.refused(path, **form(supervisor, path), **fields)

    assert page.find(class_="field__error")
    assert book(supervisor) == []


def test_the_pin_is_asked_for_when_the_last_proof_is_old(
    supervisor: Client, db: Session, clock: Any
):
    path = refuse(db, make.entry("defect", {"what": "Hose"}, unit="L70"))
    clock.shift(6 * 60)

    for one in (path, path.replace("entering", "note")):
        assert supervisor.refused(one, unit="L07", note=NOTE).find(id="pin-error")


def test_what_is_refused_again_is_kept_once_and_says_why(supervisor: Client, db: Session):
    until = make.entry("defect", {}, minutes=60 * 24 * 365)["made_at"]
    body = {"defects": [make.entry("defect", {})["id"]], "restrictions": "Slowly", "until": until}
    path = refuse(db, make.entry("defer", body, unit="L70"), by="201")

    page = supervisor.refused(path, **form(supervisor, path), unit="L07", note=NOTE)

    assert "a defect can be deferred for 30 days at the most" in page.text
    assert book(supervisor) == []
    assert len(refused.every(db)) == 1


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (make.entry("wish", {}), "It cannot be made readable"),
        (make.entry("walkaround", {"answers": "bad"}, unit="L70"), "It cannot be made readable"),
        ({**make.entry("defect", {"what": "Hose"}), "id": "7"}, "It cannot be made readable"),
        (make.entry("hold", {"reason": "Mine"}), "may not make such an entry"),
    ],
)
def test_what_cannot_be_entered_says_what_to_do_instead(
    supervisor: Client, db: Session, entry: dict[str, Any], words: str
):
    path = refuse(db, entry)

    page = supervisor.page(path)

    assert words in page.find(class_="caution").text
    known = entry["unit"] == "L07"
    assert page.find("a", href="/units/L07/defects/new" if known else "/units")
    assert not page.find("form", method="post", class_="form")
    supervisor.refused(path, unit="L07", note=NOTE)


def test_what_contradicts_is_no_entry_but_a_doubt_to_settle(supervisor: Client, db: Session):
    entry = make.entry("defect", {"what": "Hose"})
    enter(db, entry, Sender("101", proved=True), make.at(30))
    path = refuse(db, {**entry, "body": {"what": "Another hose"}})

    page = supervisor.page(path)

    assert "other content" in page.find(class_="caution").text
    assert page.find("a", href="/doubts")


def test_what_is_dealt_with_is_noted_in_a_logbook_and_calls_no_more(
    supervisor: Client, db: Session
):
    path = refuse(db, make.entry("walkaround", {"answers": "bad"}, unit="L70"))
    note = path.replace("entering", "note")
    fields = {**form(supervisor, note), "unit": "L07", "note": "Walked again with Olga"}

    answers = [supervisor.submit(note, **fields) for _ in range(2)]

    assert [one.headers["Location"] for one in answers] == ["/refused"] * 2
    assert [one["kind"] for one in book(supervisor)] == ["correction"]
    assert "Walked again with Olga" in supervisor.page("/units/L07/logbook").text
    assert "It is dealt with" in supervisor.page("/refused").text
    assert "refused" not in supervisor.page("/board").text


@pytest.mark.parametrize(("by", "proved"), [("101", True), ("301", False)])
def test_nobody_but_a_supervisor_lets_the_board_forget(
    supervisor: Client, db: Session, by: str, proved: bool
):
    id = refuse(db, make.entry("wish", {}, unit="L70")).split("/")[2]
    words = make.entry("correction", {"entry": id, "what": "dealt with"}, id=id)

    result = enter(db, words, Sender(by, proved), make.at(30))

    assert result.result == "accepted"
    assert "1 entry was refused" in supervisor.page("/board").text
    assert "It is dealt with" not in supervisor.page("/refused").text


def test_words_about_a_refusal_end_no_doubt(supervisor: Client, db: Session):
    path = refuse(db, make.entry("wish", {}))

    note = path.replace("entering", "note")
    post(supervisor, note, note="It was a test")

    assert "doubt" in codes(supervisor)


@pytest.mark.parametrize("page", ["entering", "note"])
def test_only_a_supervisor_puts_right_what_is_there(
    client: Client, operator: Client, mechanic: Client, supervisor: Client, db: Session, page: str
):
    path = refuse(db, make.entry("wish", {})).replace("entering", page)

    assert client.get(path).status_code == 303
    for one in (operator, mechanic):
        one.page(path, status=403)
    supervisor.page(path)
    supervisor.page(f"/refused/no-such-id/{page}", status=404)


def fast(entry: dict[str, Any]) -> dict[str, Any]:
    """Return an entry as a phone made it whose clock is fast."""
    body = entry["body"]
    walked = {name: _later(body[name]) for name in ("started_at", "finished_at") if name in body}
    return {**entry, "made_at": _later(entry["made_at"]), "body": {**body, **walked}}


def _later(text: str) -> str:
    return instant.text(instant.parse(text) + FAST)


def refuse(db: Session, entry: dict[str, Any], by: str = "101", ahead: int = 0) -> str:
    """Let an entry of a phone that is `ahead` (ms) be refused; return where it is put right."""
    before = {row.id for row in refused.every(db)}
    enter(db, entry, Sender(by, True, make.at(30) + ahead, bool(by)), make.at(30))
    (id,) = {row.id for row in refused.every(db)} - before
    db.rollback()
    return f"/refused/{id}/entering"


def form(client: Client, path: str) -> dict[str, str]:
    return {"entry": client.page(path).find(id="entry")["value"]}


def post(client: Client, path: str, **fields: str) -> Any:
    return client.submit(path, **form(client, path), **fields)


def book(client: Client, unit: str = "L07") -> list[Any]:
    return list(client.api("GET", f"/units/{unit}/logbook").json["entries"])


def codes(client: Client) -> list[str]:
    reasons = client.api("GET", "/units/L07").json["verdict"]["reasons"]
    return [reason["code"] for reason in reasons]
