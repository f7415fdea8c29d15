"""The order of questions at the door: unknown unit, unreadable, role; known; doubt; accepted."""

import uuid

import pytest

from tests import make
from tests.door import OLGA, Door
from tests.tables import facts_in
from walkaround.actions.add_unit import add_unit
from walkaround.actions.replay_logbook import replay_logbook
from walkaround.store import logbook, refused
from walkaround.store.db import make_session

NIL = uuid.UUID(int=0)


def test_an_unknown_unit_comes_before_all_other_questions(door):
    sent = make.entry("hold", {"reason": ""}, unit="X99")

    result = door.post(sent, OLGA)

    assert result.result == "refused"
    assert "X99" in result.why
    assert [row.entry for row in refused.every(door.db)] == [sent["id"]]


@pytest.mark.parametrize("unit", [None, 7, ["L07"], "", "L07\0", "\ud800", "l07"], ids=ascii)
def test_a_unit_that_is_none_is_refused_and_kept(door, unit):
    sent = {**make.entry("defect", {"what": "smoke"}), "unit": unit}

    result = door.post(sent)

    assert result.result == "refused"
    assert len(refused.every(door.db)) == 1


def test_it_may_come_again_once_the_unit_exists(door):
    sent = make.entry("walkaround", make.walkaround(), unit="L08")
    first = door.post(sent)
    add_unit(door.db, "L08", "wheel loader", make.DAWN)

    again = door.post(sent)

    assert (first.result, again.result) == ("refused", "accepted")
    assert door.verdict("L08").state == "ok_to_run"


def test_unreadable_comes_before_role(door):
    result = door.send("hold", {"reason": ""}, OLGA)

    assert "read" in result.why
    assert door.codes() == ["not_walked", "doubt"]


def test_a_null_member_is_an_absent_one(door):
    body = {**make.walkaround(), "hours": None, "for_shift": None}
    nulls = {"device": None, "n": None, "seen": None, "signer": None}

    result = door.send("walkaround", body, more=nulls)

    assert result.result == "accepted"
    assert door.verdict().may_run


NOT_TEXT = ["smoke\0", "\ud800", "a" * 30_000]


@pytest.mark.parametrize("what", NOT_TEXT, ids=["NUL", "half a pair", "far too long"])
def test_words_that_no_database_keeps_are_unreadable(door, what):
    result = door.send("defect", {"what": what})

    assert result.result == "refused"
    assert door.codes() == ["not_walked", "doubt"]


@pytest.mark.parametrize("place", ["kind", "device", "id"])
@pytest.mark.parametrize("text", NOT_TEXT, ids=["NUL", "half a pair", "far too long"])
def test_odd_text_beside_the_content_neither_breaks_nor_loses_an_entry(door, place, text):
    sent = {**make.entry("defect", {"what": "smoke"}), place: text}

    result = door.post(sent)

    assert result.result in ("refused", "accepted")
    assert not door.verdict().may_run
    assert door.rows()


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 10**400, 2**53, 1e999])
def test_numbers_that_have_no_canonical_text_are_unreadable(door, value):
    result = door.send("walkaround", {**make.walkaround(), "hours": value})

    assert result.result == "refused"
    assert "doubt" in door.codes()


@pytest.mark.parametrize("depth", [100, 400, 900, 5000])
def test_a_body_nested_without_end_is_unreadable(door, depth):
    nested: list = []
    for _ in range(depth):
        nested = [nested]

    result = door.send("walkaround", {"answers": nested})

    assert result.result == "refused"
    assert "doubt" in door.codes()


@pytest.mark.parametrize("signer", ["999", "", "\0", "\ud800", "a" * 300], ids=ascii)
def test_a_failure_signed_by_nobody_counts_and_covers_nothing(door, signer):
    result = door.send("walkaround", make.walkaround(horn="defect"), signer, proved=False)

    assert result.result == "accepted"
    assert door.codes() == ["defect", "unconfirmed"]


def test_every_database_keeps_whatever_comes(both):
    """PostgreSQL takes no NUL in a text, and neither takes half a surrogate pair."""
    with make_session(both, make.SITE) as db:
        door = Door(db)
        for text in NOT_TEXT:
            for place in ("kind", "device", "id", "unit", "body", "made_at", "seen"):
                door.post({**make.entry("defect", {"what": "smoke"}), place: text})
            door.send("walkaround", make.walkaround(horn="defect"), text, proved=False)
            door.send("defect", {"what": "smoke", "item": text, "findings": [text]})
            door.walk(more={"checklist": text, "version": text})

        assert len(door.rows()) > 20
        assert len(refused.every(db)) > 15
        assert not door.verdict().may_run
        assert logbook.verify(db, "L07") is None
        before = facts_in(db)
        replay_logbook(db)
        assert facts_in(db) == before
