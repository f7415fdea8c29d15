"""A site of its own for each test, its three people signed in, and a clock that a test can set."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import time_machine
from flask import Flask
from jinja2 import FileSystemBytecodeCache
from sqlalchemy import Engine
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from tests.people import some_keys
from tests.site import open_up
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.app import create_app
from walkaround.config import Config
from walkaround.store.db import make_engine, make_session

pytest_plugins = [
    "tests.programs",
    "tests.postgres",
    "tests.chromium",
    "tests.lens",
    "tests.server",
    "tests.door",
    "tests.away",
    "tests.scripts",
    "tests.pocket",
]


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site that is made once: L07 (wheel loader), D02 (dozer), three people."""
    path = tmp_path_factory.mktemp("template") / "walkaround.db"
    engine = make_engine(f"sqlite:///{path}")
    open_up(engine)
    engine.dispose()
    return path


@pytest.fixture
def engine(template: Path, tmp_path: Path) -> Iterator[Engine]:
    """A copy of that site for one test."""
    made = make_engine(f"sqlite:///{shutil.copy(template, tmp_path)}")
    yield made
    made.dispose()


@pytest.fixture
def clock() -> Iterator[Any]:
    """The first shift has been on for half an hour; `clock.shift(60)` goes on by a minute."""
    with time_machine.travel(make.at(30) / 1000, tick=False) as traveller:
        yield traveller


@pytest.fixture
def db(engine: Engine) -> Iterator[Session]:
    """A session of the site."""
    with make_session(engine, make.SITE) as session:
        yield session


@pytest.fixture(scope="session")
def compiled(tmp_path_factory: pytest.TempPathFactory) -> FileSystemBytecodeCache:
    """Templates of pages, compiled once and not for each test's program."""
    return FileSystemBytecodeCache(str(tmp_path_factory.mktemp("compiled")))


@pytest.fixture
def app(
    engine: Engine,
    tmp_path: Path,
    compiled: FileSystemBytecodeCache,
    monkeypatch: pytest.MonkeyPatch,
) -> Flask:
    """The program over that site."""
    monkeypatch.setattr("walkaround.store.keys.read_or_make", lambda _folder: some_keys())
    made = create_app(Config(data=tmp_path, checklists=make.LISTS), engine)
    made.jinja_env.bytecode_cache = compiled
    return made


@pytest.fixture
def enrolled(app: Flask, engine: Engine, clock: Any) -> Callable[[], Client]:
    """Make a browser that is enrolled, nobody signed in."""

    def make_client() -> Client:
        client = Client(app)
        with make_session(engine, make.SITE) as session:
            _, secret = enrol_phone(session, add_phone(session, None, make.DAWN), make.DAWN)
        client.set_cookie("walkaround-phone", secret)
        return client

    return make_client


@pytest.fixture
def client(app: Flask, clock: Any) -> Client:
    """A browser that nobody knows."""
    return Client(app)


@pytest.fixture
def operator(enrolled: Callable[[], Client]) -> Client:
    """Olga Operator's phone, signed in."""
    return enrolled().sign_in("Olga Operator")


@pytest.fixture
def mechanic(enrolled: Callable[[], Client]) -> Client:
    """Milan Mechanic's phone, signed in."""
    return enrolled().sign_in("Milan Mechanic")


@pytest.fixture
def supervisor(enrolled: Callable[[], Client]) -> Client:
    """Sara Supervisor's phone, signed in."""
    return enrolled().sign_in("Sara Supervisor")
