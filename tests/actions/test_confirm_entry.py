import pytest

from tests import make
from tests.door import MILAN, defect_id
from walkaround.actions.confirm_entry import NotYours, confirm_entry
from walkaround.actions.make_entry import Signer
from walkaround.actions.withdraw_deferral import NotThere

NOW = make.at(30)
ID = "019abcde-0000-7000-8000-000000000001"


@pytest.fixture
def clear(door):
    """A clear that came with a wrong PIN."""
    seat = defect_id(door.walk(seat="defect"), "seat")
    body = {"defects": [seat], "outcome": "repaired", "work": "x"}
    return door.send("clear", body, MILAN, minutes=20, proved=False).id


def test_what_came_without_a_good_signature_counts_once_it_is_confirmed(door, clear):
    assert door.codes() == ["defect"]

    confirm_entry(door.db, "L07", clear, Signer("201", None, ID), NOW)

    assert door.codes() == []


def test_nobody_confirms_for_somebody_else(door, clear):
    with pytest.raises(NotYours):
        confirm_entry(door.db, "L07", clear, Signer("301", None, ID), NOW)

    assert door.codes() == ["defect"]


@pytest.mark.parametrize(("unit", "entry"), [("L07", ID), ("D02", None)])
def test_only_what_stands_in_that_logbook_is_confirmed(door, clear, unit, entry):
    with pytest.raises(NotThere):
        confirm_entry(door.db, unit, entry or clear, Signer("201", None, ID), NOW)
