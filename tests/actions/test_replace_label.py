import json
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256

import pytest
from sqlalchemy import func, select

from tests.people import NOON, SITE, fresh_db
from walkaround.actions.replace_label import replace_label
from walkaround.rules.instant import HOUR
from walkaround.store import labels, logbook
from walkaround.store.db import make_session
from walkaround.store.models import EntryRow, LabelRow, SiteRow, UnitRow

LATER = NOON + HOUR


@pytest.fixture(params=["memory", "file"])
def db(request, tmp_path):
    url = "sqlite://" if request.param == "memory" else f"sqlite:///{tmp_path}/walkaround.db"
    with fresh_db(url) as db:
        a_unit(db)
        yield db


def a_unit(db):
    row = UnitRow(site=SITE, number="L07", title="Big loader", machine="wheel loader", hours=None)
    row.made_at, row.seq, row.hash = NOON, 0, logbook.NOTHING_BEFORE
    db.add_all([SiteRow(id=SITE, made_at=NOON), row])
    db.flush()
    labels.make(db, "L07", NOON)
    db.commit()


def test_the_new_token_counts_and_the_old_one_is_out_of_date(db):
    old = labels.current(db, "L07")

    new = replace_label(db, "L07", LATER, "301")

    assert new == labels.current(db, "L07") != old
    assert labels.find(db, old).replaced_at == LATER
    assert labels.find(db, new).replaced_at is None


def test_the_logbook_says_who_replaced_it_and_holds_neither_token(db):
    old = labels.current(db, "L07")

    new = replace_label(db, "L07", LATER, "301")

    row = db.scalars(select(EntryRow)).one()
    digests = {
        name: sha256(token.encode()).hexdigest() for name, token in (("old", old), ("new", new))
    }
    assert (row.kind, row.unit, row.by, row.signature) == ("label", "L07", "301", "confirmed")
    assert json.loads(row.text)["body"] == digests
    assert logbook.verify(db, "L07") is None
    assert not [token for token in (old, new) if token in row.text]


def test_a_unit_that_is_not_there_gets_no_label(db):
    with pytest.raises(labels.NoLabel, match="T99"):
        replace_label(db, "T99", LATER, None)

    assert db.scalar(select(func.count()).select_from(LabelRow)) == 1
    assert db.scalar(select(func.count()).select_from(EntryRow)) == 0


def test_two_who_replace_at_once_leave_one_label_in_force(tmp_path):
    with fresh_db(f"sqlite:///{tmp_path}/walkaround.db") as db:
        a_unit(db)
        engine = db.get_bind().engine

        def replace(number):
            with make_session(engine, SITE) as mine:
                return replace_label(mine, "L07", LATER + number, "301")

        with ThreadPoolExecutor(4) as pool:
            made = list(pool.map(replace, range(4)))

        assert labels.current(db, "L07") in made
        assert db.scalar(select(func.count()).select_from(EntryRow)) == 4
        assert logbook.verify(db, "L07") is None
