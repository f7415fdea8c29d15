import pytest
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.enter import Sender, enter
from walkaround.actions.make_entry import NotEntered, Signer
from walkaround.actions.settle_doubt import NoDoubt, settle_doubt
from walkaround.store import doubts

ID = "018fd3a0-0000-4000-8000-000000000001"
NEW = "018fd3a0-0000-7000-8000-{:012x}".format


def test_one_settling_ends_all_doubts_about_an_entry(db: Session):
    raise_doubts(db)
    assert len(doubts.unsettled(db, "L07", ID.upper())) == 2

    settle_doubt(db, "L07", ID, "asked Olga", signer(1), make.at(31))

    assert not doubts.unsettled(db)
    with pytest.raises(NoDoubt):
        settle_doubt(db, "L07", ID, "again", signer(2), make.at(32))


def test_a_doubt_in_the_books_of_two_units_is_settled_in_each(db: Session):
    for unit in ("L07", "D02"):
        entry = make.entry("defect", {"what": "Step loose"}, id=ID, unit=unit)
        enter(db, entry, Sender("101", True), make.at(30))
    assert {doubt.unit for doubt in doubts.unsettled(db)} == {"L07", "D02"}

    settle_doubt(db, "L07", ID, "it was D02", signer(1), make.at(31))

    assert [doubt.unit for doubt in doubts.unsettled(db)] == ["D02"]


def test_only_a_supervisor_settles(db: Session):
    raise_doubts(db)

    with pytest.raises(NotEntered, match="for other roles"):
        settle_doubt(db, "L07", ID, "fine", signer(1, "201"), make.at(31))

    assert doubts.unsettled(db)


def raise_doubts(db: Session) -> None:
    for what in ("Step loose", "Step gone", "Step bent"):
        enter(db, make.entry("defect", {"what": what}, id=ID), Sender("101", True), make.at(30))


def signer(entry: int, by: str = "301") -> Signer:
    return Signer(by, None, NEW(entry))
