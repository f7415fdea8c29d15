import pytest
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.lay_up_unit import lay_up_unit
from walkaround.actions.make_entry import NotEntered, Signer
from walkaround.actions.return_unit import NoLayUp, return_unit
from walkaround.store import standings, units

NEW = "018fd3a0-0000-7000-8000-{:012x}".format


def test_a_laid_up_unit_stays_so_until_it_returns(db: Session):
    lay_up_unit(db, "L07", "no work", signer(1), make.at(5))
    assert state(db) == "laid_up"

    return_unit(db, "L07", NEW(1), "work again", signer(2), make.at(6))

    assert state(db) == "not_checked"


def test_a_unit_returns_once_from_a_lay_up(db: Session):
    lay_up_unit(db, "L07", "no work", signer(1), make.at(5))
    return_unit(db, "L07", NEW(1), "work again", signer(2), make.at(6))

    with pytest.raises(NoLayUp):
        return_unit(db, "L07", NEW(1), "work again", signer(3), make.at(7))
    assert return_unit(db, "L07", NEW(1), "work again", signer(2), make.at(7)).result == "known"


@pytest.mark.parametrize("by", ["101", "201"])
def test_only_a_supervisor_lays_up(db: Session, by: str):
    with pytest.raises(NotEntered, match="for other roles"):
        lay_up_unit(db, "L07", "no work", signer(1, by), make.at(5))

    assert state(db) == "not_checked"


def signer(entry: int, by: str = "301") -> Signer:
    return Signer(by, None, NEW(entry))


def state(db: Session) -> str:
    return standings.of(db, units.find(db, "L07"), make.at(10)).verdict.state
