import json
from typing import Any

import pytest
from sqlalchemy import event
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.enter import Sender, enter
from walkaround.store import book_page, entries, units

ID = "018fd3a0-0000-4000-8000-000000000001"
OTHER = "018fd3a0-0000-4000-8000-000000000002"


def test_an_empty_logbook_says_so(operator: Client):
    page = operator.page("/units/L07/logbook")

    assert page.h1.text == "Logbook of L07"
    assert "Nothing stands in it yet." in page.text


def test_a_walk_is_told_in_words(operator: Client, db: Session):
    body = make.walkaround(tyre="defect", seat="could_not_check", more={"hours": 92.5})
    body["answers"][0] |= {"findings": ["cut"], "note": "outer wall"}
    body["answers"][1]["note"] = "too dark"
    body["answers"][4]["note"] = "hoarse"
    walk(db, body)

    (row,) = rows(operator)

    for words in (
        "Walk-around",
        "Olga Operator, 101",
        "today 06:10",
        "5 answers, 1 failed",
        "Tyre: cut to the cords, outer wall",
        "Could not check: Seat. too dark",
        "Remark on Horn: hoarse",
        "Hour meter: 92.5 h",
        "Walked from 06:02 to 06:10",
        "No. 1",
    ):
        assert words in row, words


def test_each_entry_shows_the_beginning_of_its_hash(operator: Client, db: Session):
    walk(db, make.walkaround())

    (row,) = rows(operator)

    assert entries.find(db, ID).hash[:16] in row
    assert entries.find(db, ID).hash[:17] not in row


@pytest.mark.parametrize(
    ("kind", "body", "by", "words"),
    [
        ("defect", {"what": "Door does not shut", "critical": True}, "101", "It can kill."),
        ("hold", {"reason": "blasting"}, "301", "blasting"),
        ("release", {"hold": OTHER, "note": "over"}, "301", "Ends an entry that is not here"),
        ("lay_up", {"reason": "no work"}, "301", "no work"),
        ("return", {"lay_up": OTHER, "note": "work"}, "301", "work"),
        ("hours", {"value": 90, "insisted": True}, "101", "90 h (insisted on, so doubtful)"),
        ("meter_change", {"old": 90, "new": 0, "note": "broken"}, "301", "From 90 h to 0 h"),
        ("service", {"interval": "500 h", "hours": 90, "work": "oil"}, "201", "500 h"),
        ("fill", {"fluid": "def", "litres": 20}, "101", "Diesel exhaust fluid, 20 l"),
        ("clear", {"defects": [OTHER], "outcome": "repaired", "work": "new"}, "201", "Repaired: a"),
        (
            "defer",
            {"defects": [OTHER], "restrictions": "by day", "until": "2026-11-27T12:00:00Z"},
            "201",
            "Until 27 Nov 13:00",
        ),
        ("correction", {"entry": OTHER, "what": "wrong unit"}, "301", "wrong unit"),
        ("settle", {"about": OTHER, "note": "asked"}, "301", "asked"),
        ("confirm", {"entry": OTHER}, "101", "Of an entry that is not here"),
    ],
)
def test_every_kind_has_words(
    operator: Client, db: Session, kind: str, body: dict[str, Any], by: str, words: str
):
    result = enter(db, make.entry(kind, body), Sender(by, proved=True), make.at(30))
    assert result.result == "accepted", result.why

    (row,) = rows(operator)

    assert words in row


def test_a_clear_names_what_it_ended_and_says_when_the_finder_cleared(
    operator: Client, db: Session
):
    found = enter_as("201", db, make.entry("defect", {"what": "Loose step"}, id=ID))
    body = {"defects": [found], "outcome": "repaired", "work": "two bolts"}
    enter_as("201", db, make.entry("clear", body))

    newest, _ = rows(operator)

    assert "Repaired: Loose step" in newest
    assert "Finder and clearer are the same person." in newest


def test_an_unconfirmed_entry_says_why_and_that_it_was_confirmed_since(
    operator: Client, db: Session
):
    enter(db, make.entry("hours", {"value": 90}, id=ID), Sender("101", False), make.at(30))
    assert "Unconfirmed: its PIN was wrong or missing." in rows(operator)[0]

    enter_as("101", db, make.entry("confirm", {"entry": ID}))

    assert "its maker has confirmed it since" in rows(operator)[1]


def test_a_walk_from_a_broken_clock_or_list_says_which(operator: Client, db: Session):
    body = {**make.walkaround(), "version": "0" * 64}
    walk(db, body)
    enter_as("101", db, make.entry("hours", {"value": 90}, minutes=60))

    newest, oldest = rows(operator)

    assert "its time cannot be right" in newest
    assert "its checklist, the version or an item is not known here" in oldest


@pytest.mark.parametrize(
    ("minutes_slow", "words"),
    [
        (1.9, None),
        (2, "The phone's clock was 2 minutes slow"),
        (-7, "The phone's clock was 7 minutes fast"),
    ],
)
def test_a_wrong_clock_is_shown_from_two_minutes_on(
    operator: Client, db: Session, minutes_slow: float, words: str | None
):
    sender = Sender("101", True, sent_at=make.at(30 - minutes_slow))
    enter(db, make.entry("hours", {"value": 90}, minutes=30 - minutes_slow), sender, make.at(30))

    (row,) = rows(operator)

    assert (words or "today 06:28") in row
    assert ("clock" in row) is bool(words)


def test_a_doubt_shows_both_contents(operator: Client, db: Session):
    enter_as("101", db, make.entry("defect", {"what": "Step loose"}, id=ID))
    enter_as("101", db, make.entry("defect", {"what": "Step is gone"}, id=ID))

    newest, oldest = rows(operator)

    assert "the server" in newest
    assert "Step loose" in newest
    assert "Step is gone" in newest
    assert "In doubt: it came with other content as well." in oldest


def test_a_withdrawn_entry_says_so(operator: Client, db: Session):
    enter_as("101", db, make.entry("hours", {"value": 900}, id=ID))
    enter_as("101", db, make.entry("correction", {"entry": ID, "what": "L08", "withdraws": True}))

    newest, oldest = rows(operator)

    assert "About No. 1" in newest
    assert "Withdrawn: what it covers" in oldest


def test_hostile_words_stay_words(operator: Client, db: Session):
    enter_as("101", db, make.entry("defect", {"what": '"><script>alert(1)</script>'}))

    page = operator.page("/units/L07/logbook")

    assert '"><script>alert(1)</script>' in page.text


@pytest.mark.parametrize("at", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"])
def test_an_instant_at_the_end_of_the_calendar_breaks_no_page(
    operator: Client, db: Session, at: str
):
    walk(db, {**make.walkaround(), "started_at": at, "for_shift": at})

    assert "5 answers" in rows(operator)[0]


def test_own_entries_can_be_corrected_and_others_not(
    operator: Client, mechanic: Client, supervisor: Client, db: Session
):
    enter_as("101", db, make.entry("hours", {"value": 90}, id=ID))

    links = [
        bool(reader.page("/units/L07/logbook").find("a", href=f"/entries/{ID}/correction"))
        for reader in (operator, mechanic, supervisor)
    ]

    assert links == [True, False, True]


def test_pages_lead_on_and_back_without_leaving_an_entry_out(operator: Client, db: Session):
    for value in range(70):
        enter_as("101", db, make.entry("hours", {"value": value}))
    seen, path = [], "/units/L07/logbook"

    while path:
        page = operator.page(*asked(path)[:1], **asked(path)[1])
        seen += [int(side.text.rpartition("No. ")[2]) for side in page.find_all(class_="row__side")]
        older = page.find("a", rel="next")
        path = older["href"] if older else ""

    assert seen == list(range(70, 0, -1))
    assert page.find("a", rel="prev")["href"] == "/units/L07/logbook?before=41"


def test_the_cost_of_a_page_does_not_grow_with_the_logbook(db: Session):
    counts = []
    for size in (40, 120):
        while units.find(db, "L07").seq < size:
            enter_as("101", db, make.entry("hours", {"value": 90}))
        counts.append(loaded(db, lambda: book_page.page(db, units.find(db, "L07"))))

    assert counts[0] == counts[1]


def test_a_supervisor_gets_the_export_that_the_command_writes(supervisor: Client, db: Session):
    walk(db, make.walkaround())

    answer = supervisor.get("/units/L07/logbook.jsonl")

    assert answer.mimetype == "application/jsonl"
    (line,) = answer.text.splitlines()
    assert json.loads(line) == entries.members(entries.find(db, ID))


def test_who_may_read_what(client: Client, operator: Client, mechanic: Client):
    assert client.get("/units/L07/logbook").status_code == 303
    mechanic.page("/units/L07/logbook")
    operator.page("/units/L07/logbook.jsonl", status=403)
    operator.page("/units/X99/logbook", status=404)
    operator.page("/units/L07/logbook", status=404, before="x")


def asked(path: str) -> tuple[str, dict[str, str]]:
    """Return a path and its query apart."""
    plain, _, query = path.partition("?")
    return plain, dict([query.split("=")]) if query else {}


def rows(client: Client) -> list[str]:
    page = client.page("/units/L07/logbook")
    found = page.find_all(class_="row")
    return [" ".join(row.get_text(" ").split()) for row in found]


def walk(db: Session, body: dict[str, Any]) -> None:
    enter_as("101", db, make.entry("walkaround", body, id=ID))


def enter_as(by: str, db: Session, entry: dict[str, Any]) -> str:
    enter(db, entry, Sender(by, proved=True), make.at(30))
    return str(entry["id"])


def loaded(db: Session, work: Any) -> int:
    """Return how many rows the database hands out meanwhile."""
    db.commit()
    db.expunge_all()
    found = []
    listen = lambda target, context: found.append(target)  # noqa: E731
    event.listen(entries.EntryRow, "load", listen)
    work()
    event.remove(entries.EntryRow, "load", listen)
    return len(found)
