"""Entering what was refused: all of it or nothing, once."""

import uuid
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from sqlalchemy import Engine
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.enter import Result, Sender, enter
from walkaround.actions.enter_refused import EnteredSince, enter_refused
from walkaround.actions.make_entry import IdTaken, Signer
from walkaround.rules.refusal import Refusal
from walkaround.store import correctable, entries, logbook, refused
from walkaround.store.correctable import Correctable
from walkaround.store.db import make_session

STRAY = make.entry("defect", {"what": "Hose"}, unit="L70")


def test_what_came_again_meanwhile_is_not_entered_over(db: Session):
    found = refuse(db)
    send(db, {**STRAY, "unit": "D02"})

    with pytest.raises(EnteredSince) as error:
        put_right(db, found)

    assert error.value.data == {"unit": "D02"}
    assert kinds(db) == []


def test_without_the_words_beside_it_nothing_is_entered(db: Session):
    found, taken = refuse(db), make.entry("hours", {"value": 84})
    send(db, taken)

    with pytest.raises(IdTaken):
        put_right(db, found, words=taken["id"])

    assert kinds(db) == ["hours"]
    assert len(refused.every(db)) == 1


def test_two_supervisors_at_once_enter_it_once(both: Engine):
    with make_session(both, make.SITE) as db:
        found = refuse(db)

    with ThreadPoolExecutor(8) as pool:
        came = list(pool.map(lambda _: attempt(both, found), range(8)))

    assert sorted(came) == ["accepted", *["refused"] * 7]
    with make_session(both, make.SITE) as db:
        assert kinds(db) == ["defect", "correction"]
        assert logbook.verify(db, "L07") is None


def refuse(db: Session) -> Correctable:
    """Let the stray one be refused; return what can be done about it."""
    send(db, STRAY)
    (row,) = refused.every(db)
    found = correctable.of(db, row)
    db.commit()
    return found


def send(db: Session, entry: dict[str, Any]) -> Result:
    result: Result = enter(db, entry, Sender("101", proved=True), make.at(30))
    return result


def put_right(db: Session, found: Correctable, words: str | None = None) -> Result:
    signer = Signer("301", None, words or str(uuid.uuid4()))
    result: Result = enter_refused(db, found, {"unit": "L07"}, "It is L07", signer, make.at(30))
    return result


def attempt(engine: Engine, found: Correctable) -> str:
    with make_session(engine, make.SITE) as db:
        try:
            return put_right(db, found).result
        except Refusal:
            return "refused"


def kinds(db: Session) -> list[str]:
    db.rollback()
    return [row.kind for row in entries.of_unit(db, "L07")]
