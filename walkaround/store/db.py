"""The engine, its sessions, and running an action again when two of them crossed."""

import functools
import random
import sqlite3
import time
from collections.abc import Callable
from typing import Any, Concatenate, ParamSpec, TypeVar

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

P = ParamSpec("P")
R = TypeVar("R")

# Serialization failure, deadlock, one key written twice at once: the second finds the first.
CROSSED = {"40001", "40P01", "23505"}
TRIES = 16  # a busy machine at SERIALIZABLE needed more than 8 when twenty met on one unit

# Before these two connections may, very rarely, damage a write-ahead log (sqlite.org, WAL-reset).
_SOUND_WAL = ((3, 44, 6), (3, 50, 7), (3, 51, 3))


class NotDurable(Exception):
    """The database would not keep what it says it kept."""


def make_engine(url: str, *, journal: str | None = None, **options: Any) -> Engine:
    """Return the engine for a database address; on SQLite with full durability."""
    if not url.startswith("sqlite"):
        return create_engine(url, pool_pre_ping=True, **options)
    connect_args = {"timeout": 30, "check_same_thread": False}
    engine = create_engine(url, connect_args=connect_args, **options)
    event.listen(engine, "connect", functools.partial(_prepare, journal=journal or sound_journal()))
    event.listen(engine, "begin", _begin)
    return engine


def make_session(engine: Engine, site: str | None = None, *, writes: bool = True) -> Session:
    """Return a session of one site; one that writes waits its turn from its first statement on."""
    bind = engine.execution_options(writes=writes)
    return Session(bind, info={"site": site}, expire_on_commit=False)


def site_of(db: Session) -> str:
    """Return the site whose rows this session may see."""
    site = db.info.get("site")
    if not isinstance(site, str):
        raise LookupError("this session belongs to no site")
    return site


def retried(
    action: Callable[Concatenate[Session, P], R],
) -> Callable[Concatenate[Session, P], R]:
    """Run an action again, whole, when the database says that it crossed another one."""

    @functools.wraps(action)
    def run(db: Session, *args: P.args, **kwargs: P.kwargs) -> R:
        for attempt in range(TRIES):
            try:
                return action(db, *args, **kwargs)
            except DBAPIError as error:
                db.rollback()
                if attempt == TRIES - 1 or not crossed(error):
                    raise
                # Never almost at once: twenty that cross on one unit must all get through.
                time.sleep(random.uniform(0.015, 0.03) * min(2**attempt, 32))
            except BaseException:
                db.rollback()
                raise
        raise AssertionError("unreachable")

    return run  # type: ignore[return-value]  # the wrapper also takes db by its name


def crossed(error: DBAPIError) -> bool:
    """Say whether running the same action again may succeed."""
    return getattr(error.orig, "sqlstate", None) in CROSSED


def sound_journal(version: tuple[int, ...] = sqlite3.sqlite_version_info) -> str:
    """Return the journal mode that this SQLite can be trusted with."""
    branch_ok = any(version[:2] == sound[:2] and version >= sound for sound in _SOUND_WAL)
    return "wal" if branch_ok or version >= _SOUND_WAL[-1] else "delete"


def _prepare(connection: Any, _record: object, *, journal: str) -> None:
    """Set what durability needs and read it back: a silent no would lose work."""
    connection.isolation_level = (
        None  # the standard driver would begin too late, and not at all for reads
    )
    connection.execute("pragma cache_size=-16000")  # KiB: a board reads rows all over a large file
    synchronous = "extra" if journal == "delete" else "full"
    wanted = {
        "journal_mode": journal,
        "synchronous": {"full": 2, "extra": 3}[synchronous],
        "foreign_keys": 1,
    }
    for pragma, value in wanted.items():
        connection.execute(f"pragma {pragma}={value}")
        (answer,) = connection.execute(f"pragma {pragma}").fetchone()
        if answer != value and answer != "memory":
            raise NotDurable(f"SQLite answers {pragma}={answer} where {value} was asked for")


def _begin(connection: Any) -> None:
    writes = connection.get_execution_options().get("writes")
    connection.exec_driver_sql("begin immediate" if writes else "begin")
