import pytest
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.correct_entry import NothingToWithdraw, NotYours, correct_entry
from walkaround.actions.enter import Sender, enter
from walkaround.actions.make_entry import Signer
from walkaround.rules.person import Person
from walkaround.store import entries, people, units

ID = "018fd3a0-0000-4000-8000-000000000001"
NEW = "018fd3a0-0000-7000-8000-000000000001"


def test_a_withdrawn_reading_counts_no_more(db: Session):
    made(db, "hours", {"value": 84.2})
    assert units.find(db, "L07").standing == 84.2

    correct(db, "101", withdraws=True)

    assert units.find(db, "L07").standing == 84


def test_words_alone_leave_the_reading(db: Session):
    made(db, "hours", {"value": 84.2})

    correct(db, "301", withdraws=False)

    assert units.find(db, "L07").standing == 84.2


def test_somebody_elses_entry_is_a_supervisors_to_correct(db: Session):
    made(db, "hours", {"value": 84.2})

    with pytest.raises(NotYours):
        correct(db, "201", withdraws=True)


def test_an_entry_that_covers_nothing_has_nothing_to_withdraw(db: Session):
    made(db, "hold", {"reason": "blasting"}, by="301")

    with pytest.raises(NothingToWithdraw):
        correct(db, "301", withdraws=True)


def made(db: Session, kind: str, body: dict, by: str = "101") -> None:
    enter(db, make.entry(kind, body, id=ID), Sender(by, True), make.at(30))


def correct(db: Session, by: str, *, withdraws: bool) -> None:
    entry, signer = entries.find(db, ID), Signer(by, None, NEW)
    correct_entry(db, entry, " L08 ", person(db, by), signer, make.at(31), withdraws=withdraws)


def person(db: Session, number: str) -> Person:
    return people.person(db, people.require(db, number), make.at(31))
