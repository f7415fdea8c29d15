import pytest

from tests import make
from tests.door import MILAN, defect_id
from tests.people import somebody
from walkaround.actions.correct_entry import NotYours
from walkaround.actions.make_entry import Signer
from walkaround.actions.withdraw_deferral import NotThere, withdraw_deferral
from walkaround.rules import instant
from walkaround.store import people

NOW = make.at(30)
ID = "019abcde-0000-7000-8000-000000000001"


def withdraw(door, deferral, by="201"):
    person = people.person(door.db, people.require(door.db, by), NOW)
    signer = Signer(by, None, ID)
    return withdraw_deferral(door.db, "L07", deferral, "It got worse.", person, signer, NOW)


@pytest.fixture
def deferral(door):
    seat = defect_id(door.walk(seat="defect"), "seat")
    body = {"defects": [seat], "restrictions": "x", "until": instant.text(make.at(600))}
    return door.send("defer", body, MILAN, minutes=20).id


@pytest.mark.parametrize("by", ["201", "301"])
def test_its_author_or_a_supervisor_takes_it_back(door, deferral, by):
    assert door.codes() == ["deferred"]

    withdraw(door, deferral, by)

    assert door.codes() == ["defect"]


def test_another_mechanic_does_not(door, deferral):
    somebody(door.db, "202", "mechanic")

    with pytest.raises(NotYours):
        withdraw(door, deferral, "202")

    assert door.codes() == ["deferred"]


def test_nothing_but_a_deferral_is_withdrawn_here(door, deferral):
    walk = door.rows()[0].id

    for id in (walk, ID):
        with pytest.raises(NotThere):
            withdraw(door, id)
