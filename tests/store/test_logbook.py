"""The logbook: its chain by an independent reader, what verify finds, replay, and many at once."""

import hashlib
import json
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
import rfc8785
from sqlalchemy import Engine, text
from sqlalchemy.orm import Session

from tests import make
from tests.door import OLGA, SARA, Door, defect_id
from tests.tables import facts_in
from walkaround.actions.replay_logbook import replay_logbook
from walkaround.store import logbook
from walkaround.store.db import make_session
from walkaround.store.models import EntryRow

MEMBERS = {
    *("site", "unit", "seq", "id", "kind", "made_at", "received_at", "skew_ms", "by", "roles"),
    *("signature", "body", "device", "n", "seen", "prev", "hash"),
}


def holds(lines: Iterable[str]) -> bool:
    """Check an exported logbook with nothing of ours: SHA-256 (FIPS 180-4) over RFC 8785."""
    prev = "0" * 64
    for seq, line in enumerate(lines, 1):
        members = json.loads(line)
        said = members.pop("hash")
        if (members["seq"], members["prev"]) != (seq, prev):
            return False
        prev = hashlib.sha256(rfc8785.dumps(members)).hexdigest()
        if said != prev:
            return False
    return True


@pytest.fixture
def filled(door: Door) -> Door:
    """A logbook of six entries."""
    door.walk(minutes=1, seat="defect", more={"hours": 84.5})
    door.walk(minutes=2, proved=False)
    door.send("defect", {"what": "ñandú 🦤 \u2028"}, more={"device": "p1", "n": 3})
    door.send("hold", {"reason": "audit"}, SARA, sent_at=door.now - 300_000)
    door.send("hours", {"value": 85}, more={"seen": {"seq": 3, "hash": "0" * 64}})
    door.post(make.entry("walkaround", {}))
    return door


def test_another_reader_finds_the_chain_whole(filled):
    lines = list(logbook.export(filled.db, "L07"))

    assert len(lines) == 6
    assert holds(lines)
    assert all(json.loads(line).keys() == MEMBERS for line in lines)
    assert not holds([lines[1], lines[0], *lines[2:]])


def test_an_entry_holds_what_its_maker_sent_and_what_the_door_found(filled):
    members = json.loads(list(logbook.export(filled.db, "L07"))[3])

    assert members | {"id": "", "prev": "", "hash": ""} == {
        "site": make.SITE, "unit": "L07", "seq": 4, "id": "", "kind": "hold",
        "made_at": "2026-11-25T05:10:00Z", "received_at": "2026-11-25T05:30:00Z",
        "skew_ms": 300_000, "by": "301", "roles": ["supervisor"], "signature": "confirmed",
        "body": {"reason": "audit"}, "device": None, "n": None, "seen": None,
        "prev": "", "hash": "",
    }  # fmt: skip


def test_an_untouched_logbook_verifies(filled):
    assert logbook.verify(filled.db, "L07") is None
    assert logbook.verify(filled.db, "D02") is None


COLUMNS = [column.name for column in EntryRow.__table__.columns]


def other(value: Any) -> Any:
    """Return a value of the same kind that differs as little as possible."""
    if value is None:
        return 1
    return value + 100 if isinstance(value, int) else value[:-1] + chr(ord(value[-1]) ^ 1)


@pytest.mark.parametrize("seq", [1, 3, 6])
@pytest.mark.parametrize("column", COLUMNS)
def test_verify_finds_each_changed_column_and_names_the_entry(filled, column, seq):
    row = filled.rows()[seq - 1]
    changed = text(f'update entry set "{column}" = :value where id = :id')

    filled.db.execute(changed, {"value": other(getattr(row, column)), "id": row.id})
    filled.db.expire_all()

    found = logbook.verify(filled.db, "L07")
    assert found is not None
    assert (found.unit, found.seq) == ("L07", seq)


def rewritten(row: EntryRow, **members: Any) -> dict[str, Any]:
    """Return the columns of an entry that somebody forged with care: text and hash fit."""
    made = {**json.loads(row.text), **members}
    written = rfc8785.dumps(made).decode()
    plain = {name: made[name] for name in ("id", "seq", "prev", "made_at", "received_at")}
    return {**plain, "text": written, "hash": hashlib.sha256(written.encode()).hexdigest()}


def put(db: Session, id: str, columns: dict[str, Any]) -> None:
    names = ", ".join(f'"{name}" = :{name}' for name in columns if name != "id")
    db.execute(text(f"update entry set {names} where id = :id"), {**columns, "id": id})
    db.expire_all()


@pytest.mark.parametrize(("seq", "named"), [(1, 2), (3, 4), (6, 6)])
def test_verify_finds_an_entry_that_was_forged_with_its_hash(filled, seq, named):
    row = filled.rows()[seq - 1]

    put(filled.db, row.id, rewritten(row, made_at="2026-11-25T05:00:00Z"))

    found = logbook.verify(filled.db, "L07")
    assert found is not None
    assert (found.unit, found.seq) == ("L07", named)


@pytest.mark.parametrize(
    ("gone", "named"), [([1], 1), ([3], 3), ([6], 6), ([4, 5, 6], 4), (range(1, 7), 1)]
)
def test_verify_finds_what_was_removed(filled, gone, named):
    for seq in gone:
        filled.db.execute(text("delete from entry where unit = 'L07' and seq = :seq"), {"seq": seq})
    filled.db.expire_all()

    found = logbook.verify(filled.db, "L07")
    assert found is not None
    assert (found.unit, found.seq) == ("L07", named)


def test_verify_finds_two_that_changed_places(filled):
    for old, new in ((2, 99), (3, 2), (99, 3)):
        move = text("update entry set seq = :new where unit = 'L07' and seq = :old")
        filled.db.execute(move, {"old": old, "new": new})
    filled.db.expire_all()

    found = logbook.verify(filled.db, "L07")
    assert found is not None
    assert found.seq == 2


@pytest.mark.parametrize("seq", [3, 7])
def test_verify_finds_what_was_put_in_or_doubled(filled, seq):
    for row in reversed(filled.rows()[seq - 1 :]):
        put(filled.db, row.id, {"seq": row.seq + 1})
        filled.db.flush()
    names = ", ".join(f'"{name}"' for name in COLUMNS if name not in ("id", "seq"))
    copy = (
        f"insert into entry (id, seq, {names}) select 'x', :seq, {names} from entry where seq = 1"
    )
    filled.db.execute(text(copy), {"seq": seq})

    found = logbook.verify(filled.db, "L07")
    assert found is not None
    assert found.seq == seq


def test_verify_finds_a_logbook_whose_unit_is_gone(filled):
    filled.db.execute(text("delete from unit where number = 'L07'"))
    filled.db.expire_all()

    assert "L07" in logbook.numbers(filled.db)
    assert logbook.verify(filled.db, "L07") is not None


def test_replay_gives_the_same_rows(filled):
    filled.walk(minutes=3, horn="defect")
    bad = filled.walk(minutes=4, seat="defect")
    filled.send(
        "clear",
        {"defects": [defect_id(bad, "seat")], "outcome": "repaired", "work": "w"},
        "Milan Mechanic",
    )
    before = facts_in(filled.db)

    count = replay_logbook(filled.db)

    assert count == len(filled.rows())
    assert facts_in(filled.db) == before


def test_replay_mends_tables_that_somebody_changed(filled):
    before = facts_in(filled.db)
    for statement in (
        "delete from defect",
        "update unit set standing = 7, last_walk = null",
        "update hold set ended_by = 'x'",
    ):
        filled.db.execute(text(statement))
    filled.db.execute(text("update unit set standing = 3, last_walk = 'x' where number = 'D02'"))
    filled.db.commit()
    filled.db.expire_all()

    replay_logbook(filled.db)

    assert facts_in(filled.db) == before


def at_once(engine: Engine, sent: list[dict[str, Any]]) -> list[str]:
    """Post entries all at once, each in a session of its own; return the results."""

    def post(one: dict[str, Any]) -> str:
        with make_session(engine, make.SITE) as db:
            return Door(db).post(one, OLGA).result

    with ThreadPoolExecutor(len(sent)) as pool:
        return sorted(pool.map(post, sent))


def test_twenty_at_once_are_numbered_without_a_gap(both):
    sent = [
        make.entry("walkaround", make.walkaround(minutes, horn="defect")) for minutes in range(20)
    ]

    results = at_once(both, sent)

    with make_session(both, make.SITE) as db:
        door = Door(db)
        assert results == ["accepted"] * 20
        assert [row.seq for row in door.rows()] == list(range(1, 21))
        assert holds(logbook.export(db, "L07"))
        assert len(door.verdict().reasons[0].defects) == 20
        before = facts_in(db)
        replay_logbook(db)
        assert facts_in(db) == before


def test_one_entry_sent_twenty_times_at_once_is_written_once(both):
    results = at_once(
        both, [make.entry("defect", {"what": "smoke"}, id=make.entry("x", {})["id"])] * 20
    )

    with make_session(both, make.SITE) as db:
        assert results == ["accepted"] + ["known"] * 19
        assert len(Door(db).rows()) == 1


def test_one_id_with_many_contents_at_once_is_one_entry_and_its_doubts(both):
    id = make.entry("x", {})["id"]
    said = [({"what": f"smoke {n}"}, unit) for n in range(4) for unit in ("L07", "D02")]

    results = at_once(both, [make.entry("defect", body, id=id, unit=unit) for body, unit in said])

    with make_session(both, make.SITE) as db:
        door = Door(db)
        kinds = [row.kind for unit in ("L07", "D02") for row in door.rows(unit)]
        assert results == ["accepted"] + ["refused"] * 7
        assert kinds.count("defect") == 1
        assert logbook.verify(db, "L07") is logbook.verify(db, "D02") is None
        assert {*door.codes("L07")} == {*door.codes("D02")} == {"defect", "not_walked", "doubt"}
