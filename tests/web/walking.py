"""Fills in the page of a walk as a browser would, and reads what came of it."""

import json
from typing import Any

from sqlalchemy.orm import Session
from werkzeug.test import TestResponse

from tests.client import Client
from walkaround.store import entries

NEW = "/units/L07/walkarounds/new"
CLEAN = {
    "answer:tyre": "in_order",
    "answer:seat": "in_order",
    "answer:coupler": "not_fitted",
    "value:pressure": "340",
    "answer:horn": "in_order",
    "hours": "84",
}


def filled(client: Client, given: dict[str, Any] | None = None, path: str = NEW) -> dict[str, Any]:
    """Return what a browser sends from a fresh page: all in order but for what is given."""
    page = client.page(path)
    fields = {one["name"]: one for one in page.find_all(["input", "textarea"]) if one.get("name")}
    hidden = {n: f.get("value", "") for n, f in fields.items() if f.get("type") == "hidden"}
    clean = {name: value for name, value in CLEAN.items() if name in fields}
    chosen = {n: f["value"] for n, f in fields.items() if f.has_attr("checked")}
    sent = {**hidden, **chosen, **clean, **(given or {})}
    return {name: value for name, value in sent.items() if value is not None}


def walk(client: Client, given: dict[str, Any] | None = None, path: str = NEW) -> TestResponse:
    """Walk round a unit and hand it in."""
    return client.submit(path, **filled(client, given, path))


def body_of(db: Session, answer: TestResponse) -> dict[str, Any]:
    """Return the body of the entry that an answer leads to."""
    assert answer.status_code == 303, answer.status_code
    row = entries.find(db, answer.headers["Location"].rpartition("/")[2])
    assert row is not None
    body: dict[str, Any] = json.loads(row.body)
    db.rollback()  # the next request must not wait for this session
    return body


def answers_of(db: Session, answer: TestResponse) -> dict[str, dict[str, Any]]:
    """Return the answers of that entry by item."""
    return {one.pop("item"): one for one in body_of(db, answer)["answers"]}
