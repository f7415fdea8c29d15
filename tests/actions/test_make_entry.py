from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import select

from tests import make
from walkaround.actions.make_entry import IdTaken, NotEntered, Signer, make_entry
from walkaround.store.db import make_session
from walkaround.store.models import EntryRow, RefusedRow

ID = "019abcde-0000-7000-8000-000000000001"
OLGA = Signer("101", None, ID)


def rows(db):
    return [(row.kind, row.id) for row in db.scalars(select(EntryRow).order_by(EntryRow.seq))]


def test_an_entry_is_signed_by_whoever_is_signed_in(db):
    result = make_entry(db, "hours", "L07", {"value": 90.0}, OLGA, make.at(30))

    assert result.result == "accepted"
    row = db.scalars(select(EntryRow)).one()
    assert (row.by, row.signature, row.made_at) == ("101", "confirmed", "2026-11-25T05:30:00Z")


def test_the_same_form_again_enters_nothing_and_asks_nothing(db):
    make_entry(db, "hours", "L07", {"value": 90.0}, OLGA, make.at(30))

    def check():
        raise AssertionError("what was done already needs no look")

    again = make_entry(db, "hours", "L07", {"value": 91.0}, OLGA, make.at(31), check=check)

    assert again.result == "known"
    assert rows(db) == [("hours", ID)]


@pytest.mark.parametrize("other", ["kind", "unit", "person"])
def test_an_id_that_was_used_otherwise_is_refused_without_a_doubt(db, other):
    make_entry(db, "hours", "L07", {"value": 90.0}, OLGA, make.at(30))
    signer = Signer("201", None, ID) if other == "person" else OLGA
    kind, body = ("defect", {"what": "x"}) if other == "kind" else ("hours", {"value": 90.0})

    with pytest.raises(IdTaken):
        make_entry(db, kind, "D02" if other == "unit" else "L07", body, signer, make.at(31))

    assert rows(db) == [("hours", ID)]


def test_what_the_door_refuses_is_said_and_kept_aside(db):
    with pytest.raises(NotEntered, match="other roles"):
        make_entry(db, "hold", "L07", {"reason": "x"}, OLGA, make.at(30))

    assert db.scalars(select(RefusedRow)).one().kind == "hold"


def test_what_the_check_raises_leaves_nothing_behind(db):
    def check():
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        make_entry(db, "hours", "L07", {"value": 90.0}, OLGA, make.at(30), check=check)

    assert rows(db) == []


def test_one_form_posted_many_times_at_once_enters_once(both):
    def post(minute):
        with make_session(both, make.SITE) as db:
            return make_entry(db, "hours", "L07", {"value": 90.0}, OLGA, make.at(minute)).result

    with ThreadPoolExecutor(8) as threads:
        results = list(threads.map(post, range(30, 46)))

    assert sorted(set(results)) == ["accepted", "known"]
    with make_session(both, make.SITE, writes=False) as db:
        assert rows(db) == [("hours", ID)]
