"""The engine, and running an action again when two of them crossed."""

import sqlite3
import threading

import pytest
from sqlalchemy import event, text
from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError

from tests import make
from tests.door import Door
from walkaround.store import db as store
from walkaround.store.db import (
    NotDurable,
    make_engine,
    make_session,
    retried,
    site_of,
    sound_journal,
)


class Crossed(Exception):
    sqlstate = "40001"


@pytest.fixture
def no_waiting(monkeypatch):
    monkeypatch.setattr(store.time, "sleep", lambda seconds: None)


def pragmas(engine) -> dict[str, object]:
    with engine.connect() as connection:
        names = ("journal_mode", "synchronous", "foreign_keys")
        return {name: connection.exec_driver_sql(f"pragma {name}").scalar() for name in names}


@pytest.mark.parametrize(("journal", "synchronous"), [("wal", 2), ("delete", 3)])
def test_every_connection_is_durable(tmp_path, journal, synchronous):
    """SQLite, PRAGMA synchronous: FULL is 2 and keeps a commit in WAL mode; EXTRA is 3."""
    engine = make_engine(f"sqlite:///{tmp_path}/a.db", journal=journal)

    assert pragmas(engine) == {
        "journal_mode": journal,
        "synchronous": synchronous,
        "foreign_keys": 1,
    }
    engine.dispose()


@pytest.mark.parametrize(
    ("version", "journal"),
    [
        ((3, 40, 1), "delete"), ((3, 44, 5), "delete"), ((3, 44, 6), "wal"), ((3, 45, 0), "delete"),
        ((3, 50, 6), "delete"), ((3, 50, 7), "wal"), ((3, 51, 2), "delete"), ((3, 51, 3), "wal"),
        ((3, 53, 0), "wal"),
    ],
)  # fmt: skip
def test_a_write_ahead_log_is_kept_only_where_it_is_sound(version, journal):
    """sqlite.org, wal.html: the WAL-reset fault is mended in 3.51.3, and in 3.50.7 and 3.44.6."""
    assert sound_journal(version) == journal


def test_a_database_that_would_not_keep_its_word_is_refused(tmp_path):
    with pytest.raises(NotDurable):
        make_engine(f"sqlite:///{tmp_path}/a.db", journal="none").connect()


def test_whoever_writes_waits_its_turn_from_the_start(engine):
    """A read that turned into a write would fail at once (SQLITE_BUSY_SNAPSHOT), not wait."""
    held, done = threading.Event(), []

    def write() -> None:
        with make_session(engine, make.SITE) as session:
            session.execute(text("select 1"))
            held.set()
            session.execute(text("update unit set title = 'A'"))
            done.append(session.commit())

    thread = threading.Thread(target=write)
    with make_session(engine, make.SITE) as session:
        session.execute(text("select count(*) from unit"))
        thread.start()
        assert not held.wait(0.2)
        session.execute(text("update unit set title = 'B'"))
        session.commit()
    thread.join()
    assert done == [None]


def test_a_session_belongs_to_a_site(engine):
    with make_session(engine) as session, pytest.raises(LookupError):
        site_of(session)


@pytest.mark.parametrize("state", ["40001", "40P01", "23505"])
def test_an_action_that_crossed_another_runs_again(db, no_waiting, state):
    runs = []

    @retried
    def action(session) -> str:
        runs.append(state)
        if len(runs) < 3:
            error = Crossed()
            error.sqlstate = state
            raise OperationalError("x", None, error)
        return "done"

    assert action(db) == "done"
    assert len(runs) == 3


def test_it_gives_up_after_some_tries(db, no_waiting):
    runs = []

    @retried
    def action(session) -> None:
        runs.append(1)
        raise OperationalError("x", None, Crossed())

    with pytest.raises(OperationalError):
        action(db)
    assert len(runs) == store.TRIES


def test_any_other_error_ends_it_and_leaves_nothing_behind(db):
    @retried
    def action(session) -> None:
        session.execute(text("update unit set title = 'X'"))
        raise IntegrityError("x", None, sqlite3.IntegrityError())

    with pytest.raises(IntegrityError):
        action(db)
    assert db.scalars(text("select title from unit where title = 'X'")).all() == []


def break_once(engine, place: int) -> list[str]:
    """Let the statement at a place from now on fail as two that crossed do; -1: the commit."""
    seen: list[str] = []

    def fail(*call) -> None:
        seen.append("statement")
        if len(seen) == place + 1:
            raise OperationalError("x", None, Crossed())

    def fail_commit(connection) -> None:
        if place == -1 and "commit" not in seen:
            seen.append("commit")
            raise OperationalError("x", None, Crossed())

    event.listen(engine, "before_cursor_execute", fail)
    event.listen(engine, "commit", fail_commit)
    return seen


def send_all(door: Door, sent: list) -> list[str]:
    return [door.post(one, by).result for one, by in sent]


STORY = [
    (
        make.entry(
            "walkaround", make.walkaround(seat="defect"), id="5" * 8 + "-0000-4000-8000-" + "5" * 12
        ),
        "Olga Operator",
    ),
    (
        make.entry("walkaround", make.walkaround(), id="5" * 8 + "-0000-4000-8000-" + "5" * 12),
        "Olga Operator",
    ),
    (make.entry("hours", {"value": 90}), "Olga Operator"),
]


@pytest.mark.parametrize("place", range(-1, 70, 3))
def test_wherever_two_actions_cross_the_effect_is_there_once(engine, no_waiting, place):
    with make_session(engine, make.SITE) as session:
        door = Door(session)
        seen = break_once(engine, place)

        results = send_all(door, STORY)

        assert len(seen) > place
        assert results == ["accepted", "refused", "accepted"]
        assert [(row.seq, row.kind) for row in door.rows()] == [
            (1, "walkaround"), (2, "doubt"), (3, "hours"),
        ]  # fmt: skip
        assert door.codes() == ["defect", "unconfirmed", "doubt"]


def test_what_a_database_says_of_crossing_is_known():
    assert store.crossed(DBAPIError("x", None, Crossed()))
    assert not store.crossed(DBAPIError("x", None, sqlite3.OperationalError()))
