"""The same id again: known, its maker's word, or a doubt in the books of all units concerned."""

import hashlib
import json
import uuid

import pytest
import rfc8785

from tests import make
from tests.door import MILAN, OLGA, SARA
from walkaround.rules import instant
from walkaround.store import refused, units

NIL = uuid.UUID(int=0)


def named(about: str, unit: str, sent: dict) -> str:
    """Return the id of a doubt as the design has it, by the standard's own parts alone.

    UUIDv5: RFC 9562 section 5.5; canonical text: RFC 8785; SHA-256: FIPS 180-4.
    """
    content = {name: sent.get(name) for name in ("kind", "unit", "made_at", "body")}
    hash = hashlib.sha256(rfc8785.dumps(content)).hexdigest()
    digest = hashlib.sha1(uuid.UUID(about).bytes + f"{unit}:{hash}".encode()).digest()[:16]
    return str(uuid.UUID(bytes=digest, version=5))


def test_role_comes_before_known(door):
    """The design asks for the role first, so an operator's copy of a clear is not even known."""
    id = door.walk(seat="defect").id
    body = {"defects": [str(uuid.uuid5(uuid.UUID(id), "seat"))], "outcome": "repaired", "work": "w"}
    sent = make.entry("clear", body)

    results = [door.post(sent, by).result for by in (MILAN, OLGA, MILAN)]

    assert results == ["accepted", "refused", "known"]


def test_the_same_again_is_known_and_writes_nothing(door):
    sent = make.entry("walkaround", make.walkaround(seat="defect"))
    first = door.post(sent)
    unit = units.find(door.db, "L07")
    head = (unit.seq, unit.hash)
    door.now += instant.HOUR

    again = door.post({**sent, "id": sent["id"].upper(), "device": "other"}, SARA, proved=False)

    assert (first.result, again.result) == ("accepted", "known")
    assert again.defects == first.defects
    assert (unit.seq, unit.hash) == head


def test_other_content_is_a_doubt_in_the_books_of_both_units(door):
    id = door.walk().id
    sent = make.entry("walkaround", make.walkaround(), unit="D02", id=id)

    result = door.post(sent)

    rows = [door.rows(unit)[-1] for unit in ("L07", "D02")]
    assert result.result == "refused"
    assert [row.kind for row in rows] == ["doubt", "doubt"]
    assert [row.id for row in rows] == [named(id, "L07", sent), named(id, "D02", sent)]
    assert door.codes("L07") == ["unconfirmed", "doubt"]
    assert door.codes("D02") == ["unconfirmed", "doubt"]


def test_other_content_again_adds_no_second_doubt(door):
    id = door.walk().id
    other = make.entry("walkaround", make.walkaround(horn="defect"), id=id)

    results = [door.post(other).result for _ in range(3)]

    assert results == ["refused"] * 3
    assert [row.kind for row in door.rows()] == ["walkaround", "doubt"]
    assert len(refused.every(door.db)) == 1


def test_an_entry_without_an_id_is_in_doubt_under_a_name_of_its_content(door):
    sent = {**make.entry("walkaround", make.walkaround()), "id": "L07-1"}
    content = {name: sent[name] for name in ("kind", "unit", "made_at", "body")}
    about = str(uuid.uuid5(NIL, hashlib.sha256(rfc8785.dumps(content)).hexdigest()))

    result = door.post(sent)

    row = door.rows()[-1]
    assert (result.id, result.result) == ("L07-1", "refused")
    assert row.id == named(about, "L07", sent)
    assert door.verdict().reasons[-1].about == about


def test_a_doubt_keeps_what_came(door):
    sent = make.entry("walkaround", {"answers": [{"item": "tyre", "answer": "so-so"}]})

    door.post(sent)

    body = json.loads(door.rows()[-1].body)
    content = {name: sent[name] for name in ("kind", "unit", "made_at", "body")}
    assert (body["about"], body["content"]) == (sent["id"], content)
    assert body.keys() == {"about", "why", "content"}


def test_nobody_can_take_the_name_of_a_doubt_before_it_is_raised(door):
    """Its id can be computed beforehand: an entry of that id must not keep the doubt out."""
    id = door.walk().id
    other = make.entry("walkaround", make.walkaround(horn="defect"), id=id)
    door.send("hours", {"value": 90}, id=named(id, "L07", other))

    result = door.post(other)

    assert result.result == "refused"
    assert door.codes() == ["defect", "unconfirmed", "doubt"]


def test_what_came_unreadable_may_come_again_corrected_and_counts_once_settled(door):
    """The id of what is refused stays free; nothing of the unreadable content counts afterwards."""
    sent = make.entry("walkaround", make.walkaround())
    broken = door.post({**sent, "n": "five"})

    again = door.post({**sent, "n": 5})
    codes = door.codes()
    door.send("settle", {"about": sent["id"], "note": "the phone counted in words"}, SARA)

    assert (broken.result, again.result) == ("refused", "accepted")
    assert codes == ["doubt"]
    assert door.verdict().state == "ok_to_run"


@pytest.mark.parametrize("first", ["L07", "D02"])
def test_of_two_contents_it_does_not_matter_which_came_first(door, first):
    """Not even to the reason why nothing covers, though only one of them is in a logbook."""
    here = make.entry("walkaround", make.walkaround())
    there = make.entry("walkaround", make.walkaround(horn="defect"), unit="D02", id=here["id"])

    for sent in sorted([here, there], key=lambda sent: sent["unit"] != first):
        door.post(sent, sent_at=door.now - 200_000)
    door.send("correction", {"entry": here["id"], "what": "w", "withdraws": True})

    assert door.codes("L07") == ["unconfirmed", "doubt"]
    assert door.codes("D02") == ["defect", "unconfirmed", "doubt"]


@pytest.mark.parametrize(
    ("first", "copies", "kinds"),
    [
        (False, [(OLGA, True)], ["walkaround", "confirm"]),
        (False, [(OLGA, True), (OLGA, True), (OLGA, False)], ["walkaround", "confirm"]),
        (False, [(OLGA, False), (MILAN, True)], ["walkaround"]),
        (True, [(OLGA, True)], ["walkaround"]),
    ],
)
def test_only_the_first_signed_copy_by_its_maker_acts_as_their_word(door, first, copies, kinds):
    sent = make.entry("walkaround", make.walkaround())
    door.post(sent, proved=first)

    results = {door.post(sent, by, proved=proved).result for by, proved in copies}

    assert results == {"known"}
    assert [row.kind for row in door.rows()] == kinds
    assert door.codes() == ([] if first or len(kinds) > 1 else ["unconfirmed"])


def test_a_copy_says_whether_the_first_one_is_confirmed_by_now(door):
    """The reply to the first may have been lost, and with it that the PIN was wrong."""
    sent = make.entry("walkaround", make.walkaround())
    door.post(sent, OLGA, proved=False)

    before = door.post(sent, OLGA, proved=False)
    confirming = door.post(sent, OLGA, proved=True)
    after = door.post(sent, OLGA, proved=False)

    assert [one.result for one in (before, confirming, after)] == ["known"] * 3
    assert before.why
    assert (confirming.why, after.why) == (None, None)


@pytest.mark.parametrize("kind", ["confirm", "correction"])
@pytest.mark.parametrize(("by", "may"), [(OLGA, True), (MILAN, False), (SARA, None)])
def test_people_speak_of_their_own_entries_and_supervisors_correct_any(door, kind, by, may):
    body = {"entry": door.walk(proved=False).id}
    body |= {"what": "w", "withdraws": True} if kind == "correction" else {}
    may = kind == "correction" if may is None else may

    assert door.send(kind, body, by).result == ("accepted" if may else "refused")


def test_a_word_of_somebody_else_that_came_first_does_nothing(door):
    id = make.entry("x", {})["id"]
    door.send("correction", {"entry": id, "what": "w", "withdraws": True}, MILAN)
    door.send("confirm", {"entry": id}, MILAN)

    door.walk(id=id, proved=False)

    assert door.codes() == ["unconfirmed"]
