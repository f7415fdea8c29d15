"""People, phones and keys for tests: plain ones, of whom a test states only what matters to it."""

import functools
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from cryptography.hazmat.primitives.asymmetric import rsa
from sqlalchemy.orm import Session

from walkaround.actions.add_person import add_person
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.rules.instant import parse
from walkaround.rules.person import Person
from walkaround.store.db import make_engine, make_session
from walkaround.store.keys import Keys
from walkaround.store.models.base import Base

SITE = "Gravel pit"
NOON = parse("2026-11-25T12:00:00Z")
PIN = "48215937"  # long, so that it is in no hash by chance


# For whatever happens at once: both databases, each with a file or a server behind it.
ENGINES = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]


def address(engine: str, request: pytest.FixtureRequest) -> str:
    """Return where an empty database is that many connections can share."""
    if engine == "postgres":
        return str(request.getfixturevalue("postgres_url"))
    return f"sqlite:///{request.getfixturevalue('tmp_path')}/walkaround.db"


@contextmanager
def fresh_db(url: str = "sqlite://") -> Iterator[Session]:
    """Give a session over empty tables."""
    engine = make_engine(url)
    Base.metadata.create_all(engine)
    with make_session(engine, SITE) as db:
        yield db
    engine.dispose()


@functools.cache
def some_keys() -> Keys:
    """Return the same keys each time, for they take a while to make."""
    return Keys(b"s" * 32, b"p" * 32, rsa.generate_private_key(65537, 3072))


def somebody(
    db: Session, crew_number: str = "101", role: str = "operator", pin: str = PIN, **more: int
) -> Person:
    """Add a person."""
    return add_person(
        db, some_keys(), crew_number, f"Person {crew_number}", [role], pin, NOON, **more
    )


def a_phone(db: Session, now: int = NOON) -> tuple[str, str]:
    """Enrol a phone and return its id and secret."""
    return enrol_phone(db, add_phone(db, None, now), now)
