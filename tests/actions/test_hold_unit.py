import pytest
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.hold_unit import hold_unit
from walkaround.actions.make_entry import NotEntered, Signer
from walkaround.actions.release_unit import NoHold, release_unit
from walkaround.store import holds, standings, units

NEW = "018fd3a0-0000-7000-8000-{:012x}".format


def test_a_hold_ends_with_its_release(db: Session):
    hold_unit(db, "L07", " blasting ", signer(1), make.at(5))
    assert holds.find(db, "L07", NEW(1), "hold").reason == "blasting"

    release_unit(db, "L07", NEW(1), "over", signer(2), make.at(6))

    assert holds.find(db, "L07", NEW(1), "hold").ended_by == NEW(2)


def test_two_holds_are_released_one_by_one(db: Session):
    hold_unit(db, "L07", "blasting", signer(1), make.at(5))
    hold_unit(db, "L07", "audit", signer(2), make.at(6))

    release_unit(db, "L07", NEW(1), "over", signer(3), make.at(7))

    assert state(db) == "tagged_out"


def test_only_a_supervisor_holds(db: Session):
    with pytest.raises(NotEntered, match="for other roles"):
        hold_unit(db, "L07", "blasting", signer(1, "101"), make.at(5))

    assert state(db) == "not_checked"


def test_a_release_of_nothing_is_refused_and_nothing_is_written(db: Session):
    with pytest.raises(NoHold):
        release_unit(db, "L07", NEW(9), "over", signer(1), make.at(5))
    db.rollback()

    assert units.find(db, "L07").seq == 0


def signer(entry: int, by: str = "301") -> Signer:
    return Signer(by, None, NEW(entry))


def state(db: Session) -> str:
    return standings.of(db, units.find(db, "L07"), make.at(10)).verdict.state
