import pytest
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.change_meter import NewMeter, change_meter
from walkaround.actions.make_entry import NotEntered, Signer
from walkaround.store import units

METER = NewMeter(84.2, 0, "glass broken")


def test_the_hours_go_on_from_the_new_meter(db: Session):
    change_meter(db, "L07", METER, signer("301"), make.at(5))

    assert units.find(db, "L07").standing == 0


@pytest.mark.parametrize("by", ["101", "201"])
def test_only_a_supervisor_changes_it(db: Session, by: str):
    with pytest.raises(NotEntered, match="for other roles"):
        change_meter(db, "L07", METER, signer(by), make.at(5))

    assert units.find(db, "L07").standing == 84


def signer(by: str) -> Signer:
    return Signer(by, None, "018fd3a0-0000-7000-8000-000000000001")
