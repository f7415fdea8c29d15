"""Programs that come with a token."""

from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine
from werkzeug.test import TestResponse

from tests import make
from walkaround.actions.add_token import add_token
from walkaround.rules import instant
from walkaround.store.db import make_session


class Program(FlaskClient):
    """A program that acts as a person; it keeps no cookies."""

    token = ""

    def call(self, method: str, path: str, **options: Any) -> TestResponse:
        """Call the JSON API."""
        headers = {"Authorization": f"Bearer {self.token}", **options.pop("headers", {})}
        return self.open(f"/api/v1{path}", method=method, headers=headers, **options)

    def read(self, path: str, status: int = 200, **query: str) -> Any:
        """Return what the API says."""
        answer = self.call("GET", path, query_string=query)
        assert answer.status_code == status, f"{path}: {answer.status_code} {answer.text}"
        return answer.json

    def enter(self, *entries: Any, sent_at: float = 30, **more: Any) -> list[dict[str, Any]]:
        """Send entries and return their results."""
        batch = {"sent_at": instant.text(make.at(sent_at)), "entries": list(entries), **more}
        answer = self.call("POST", "/entries", json=batch)
        assert answer.status_code == 200, answer.text
        return list(answer.json["results"])

    def enter_one(
        self, kind: str, body: Any, *, sent_at: float = 30, **more: Any
    ) -> dict[str, Any]:
        """Send one entry and return its result."""
        return self.enter(make.entry(kind, body, **more), sent_at=sent_at)[0]


@pytest.fixture
def program(app: Flask, engine: Engine, clock: Any) -> Callable[[str], Program]:
    """Make a program that acts as the person with a crew number."""

    def make_program(crew_number: str) -> Program:
        client = Program(app, app.response_class, use_cookies=False)
        with make_session(engine, make.SITE) as db:
            client.token = add_token(db, crew_number, make.DAWN)
        return client

    return make_program


@pytest.fixture
def of_operator(program: Callable[[str], Program]) -> Program:
    """A program that acts as Olga Operator."""
    return program("101")


@pytest.fixture
def of_mechanic(program: Callable[[str], Program]) -> Program:
    """A program that acts as Milan Mechanic."""
    return program("201")


@pytest.fixture
def of_supervisor(program: Callable[[str], Program]) -> Program:
    """A program that acts as Sara Supervisor."""
    return program("301")
