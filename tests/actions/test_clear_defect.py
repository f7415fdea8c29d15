from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import select

from tests import make
from tests.door import MILAN, Door, defect_id
from walkaround.actions.clear_defect import (
    AlreadyCleared,
    NothingNamed,
    NotOfUnit,
    ReadingLower,
    ReadingTooHigh,
    Work,
    clear_defect,
)
from walkaround.actions.make_entry import Signer
from walkaround.store.db import make_session
from walkaround.store.models import DefectRow, EntryRow

NOW = make.at(30)
ID, OTHER = (f"019abcde-0000-7000-8000-00000000000{n}" for n in (1, 2))
WORK = Work("repaired", "New cover")


def signer(entry=ID):
    return Signer("201", None, entry)


@pytest.fixture
def seat(door):
    return defect_id(door.walk(seat="defect"), "seat")


def test_the_named_defects_end_and_no_others(door, seat):
    horn = defect_id(door.walk(minutes=11, horn="defect"), "horn")

    clear_defect(door.db, "L07", (seat,), WORK, signer(), NOW)

    states = {row.id: row.state for row in door.db.scalars(select(DefectRow))}
    assert states == {seat: "cleared", horn: "standing"}


def test_nothing_is_cleared_before_it_was_found(door, seat):
    with pytest.raises(NotOfUnit):
        clear_defect(door.db, "L07", (seat, OTHER), WORK, signer(), NOW)
    with pytest.raises(NotOfUnit):
        clear_defect(door.db, "D02", (seat,), WORK, signer(), NOW)


def test_something_must_be_named(door):
    with pytest.raises(NothingNamed):
        clear_defect(door.db, "L07", (), WORK, signer(), NOW)


def test_what_somebody_cleared_is_not_cleared_again(door, seat):
    door.send("clear", {"defects": [seat], "outcome": "repaired", "work": "x"}, MILAN)

    with pytest.raises(AlreadyCleared):
        clear_defect(door.db, "L07", (seat,), WORK, signer(), NOW)


def test_of_a_line_that_was_cleared_in_part_the_rest_still_ends(door, seat):
    door.send("clear", {"defects": [seat], "outcome": "repaired", "work": "x"}, MILAN)
    again = defect_id(door.walk(minutes=12, seat="defect"), "seat")

    clear_defect(door.db, "L07", (seat, again), WORK, signer(), NOW)

    assert door.codes() == []


@pytest.mark.parametrize(("hours", "error"), [(83.9, ReadingLower), (200, ReadingTooHigh)])
def test_a_reading_that_cannot_be_right_does_not_enter(door, seat, hours, error):
    with pytest.raises(error):
        clear_defect(door.db, "L07", (seat,), Work("repaired", "x", hours=hours), signer(), NOW)

    assert door.db.scalars(select(EntryRow).where(EntryRow.kind == "clear")).all() == []


def test_of_two_who_clear_at_once_one_is_told(both):
    with make_session(both, make.SITE) as db:
        seat = defect_id(Door(db).walk(seat="defect"), "seat")

    def clear(entry):
        with make_session(both, make.SITE) as db:
            try:
                return clear_defect(db, "L07", (seat,), WORK, signer(entry), NOW).result
            except AlreadyCleared:
                return "told"

    with ThreadPoolExecutor(2) as threads:
        results = sorted(threads.map(clear, (ID, OTHER)))

    assert results == ["accepted", "told"]
