import json
import uuid

import pytest
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.hand_in import Walk, hand_in
from walkaround.actions.make_entry import NotEntered, Signer
from walkaround.store import entries, standings, units


def a_walk(unit: str = "L07", **more: object) -> Walk:
    body = make.walkaround()
    answers = tuple(body["answers"])
    return Walk(unit, body["checklist"], body["version"], make.at(2), answers, make.DAWN, **more)


def signer() -> Signer:
    return Signer("101", None, str(uuid.uuid4()))


def test_a_walk_is_entered_as_it_was_gathered(db: Session):
    made = hand_in(db, a_walk(hours=84.5), signer(), make.at(10))

    body = json.loads(entries.find(db, made.id).body)
    assert body["started_at"] == "2026-11-25T05:02:00Z"
    assert body["finished_at"] == "2026-11-25T05:10:00Z"
    assert body["for_shift"] == "2026-11-25T05:00:00Z"
    assert body["hours"] == 84.5
    assert "insisted" not in body


def test_it_lets_the_unit_run(db: Session):
    hand_in(db, a_walk(), signer(), make.at(10))

    unit = units.find(db, "L07")
    assert standings.of(db, unit, make.at(11)).verdict.state == "ok_to_run"


def test_a_walk_posted_twice_is_entered_once(db: Session):
    me = signer()

    first = hand_in(db, a_walk(), me, make.at(10))
    again = hand_in(db, a_walk(), me, make.at(11))

    assert (first.result, again.result) == ("accepted", "known")
    assert len(entries.of_unit(db, "L07")) == 1


def test_what_its_maker_had_seen_is_kept(db: Session):
    made = hand_in(db, a_walk(seen={"seq": 0, "hash": "0" * 64}), signer(), make.at(10))

    assert json.loads(entries.find(db, made.id).seen) == {"seq": 0, "hash": "0" * 64}


def test_an_unknown_unit_is_refused(db: Session):
    with pytest.raises(NotEntered, match="no unit X99"):
        hand_in(db, a_walk("X99"), signer(), make.at(10))
