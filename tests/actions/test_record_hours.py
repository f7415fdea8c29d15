import pytest
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.make_entry import Signer
from walkaround.actions.record_hours import record_hours
from walkaround.store import units

SIGNER = Signer("101", None, "018fd3a0-0000-7000-8000-000000000001")


@pytest.mark.parametrize(("insisted", "stands"), [(False, 90), (True, 84)])
def test_a_reading_counts_unless_it_had_to_be_insisted_on(
    db: Session, insisted: bool, stands: float
):
    record_hours(db, "L07", 90, SIGNER, make.at(5), insisted=insisted)

    assert units.find(db, "L07").standing == stands


def test_the_same_form_enters_once(db: Session):
    results = [
        record_hours(db, "L07", 84.2, SIGNER, make.at(at), insisted=False).result for at in (5, 6)
    ]

    assert results == ["accepted", "known"]
    assert units.find(db, "L07").seq == 1
