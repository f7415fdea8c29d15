import json
import re
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.store import entries

NEW = "/units/L07/walkarounds/new"
ANSWERS = {
    "answer:tyre": "in_order",
    "answer:seat": "in_order",
    "answer:coupler": "not_fitted",
    "value:pressure": "340",
    "answer:horn": "in_order",
    "hours": "84",
}


def filled(client: Client, path: str = NEW, **changed: Any) -> dict[str, Any]:
    """Return what a browser would send from a clean page, but for what is changed; None leaves out."""
    page = client.page(path)
    hidden = {
        field["name"]: field["value"]
        for field in page.find_all("input", type="hidden")
        if field.get("value")
    }
    given = {**ANSWERS, **{name.replace("__", ":"): value for name, value in changed.items()}}
    return {**hidden, **{name: value for name, value in given.items() if value is not None}}


def body_of(db: Session, address: str) -> dict[str, Any]:
    row = entries.find(db, address.rpartition("/")[2])
    assert row is not None
    return json.loads(row.body)


def test_a_clean_walk_lets_the_unit_run(operator: Client):
    answer = operator.submit(NEW, **filled(operator))

    assert answer.status_code == 303, answer.text
    page = operator.page(answer.headers["Location"])
    assert page.h1.text == "OK to run"
    assert "5 of 5" in page.text
