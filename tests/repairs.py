"""Defects that tests find, clear and defer through the API, and forms as pages give them."""

from typing import Any

from bs4 import BeautifulSoup

from tests import make
from tests.client import Client
from walkaround.rules import instant


def text(page: BeautifulSoup) -> str:
    """Return what a page's main part says, on one line."""
    return " ".join(page.main.get_text(" ").split())


def find(program: Any, minutes: float = 10, *, unit: str = "L07", **given: Any) -> list[str]:
    """Let a walk-around find these items bad, and return the ids of the defects."""
    body = make.walkaround(minutes)
    body["answers"] = [a for a in body["answers"] if a["item"] not in given]
    body["answers"] += [make.answer(item, "defect", **more) for item, more in given.items()]
    return program.enter_one("walkaround", body, minutes=minutes, unit=unit)["defects"]


def clear(program: Any, ids: list[str], minutes: float = 20, **more: Any) -> str:
    """Clear defects; return the entry's id."""
    body = {"defects": ids, "outcome": "repaired", "work": "new hose", **more}
    return program.enter_one("clear", body, minutes=minutes)["id"]


def defer(program: Any, ids: list[str], minutes: float = 20, until: float = 600) -> str:
    """Defer defects until so many minutes after dawn; return the entry's id."""
    end = instant.text(make.at(until))
    body = {"defects": ids, "restrictions": "Level ground only.", "until": end}
    return program.enter_one("defer", body, minutes=minutes)["id"]


def form_of(client: Client, address: str) -> dict[str, Any]:
    """Return the hidden fields as the page gives them: the entry's id and what was seen."""
    page = client.page(address)
    hidden = page.select("main form.form input[type=hidden]")
    fields: dict[str, Any] = {"defect": []}
    for field in hidden:
        if field["name"] == "defect":
            fields["defect"].append(field["value"])
        elif field["name"] != "csrf_token":
            fields[field["name"]] = field["value"]
    return fields


def entries(program: Any, kind: str) -> list[dict[str, Any]]:
    """Return the entries of a kind in the logbook of L07."""
    return [e for e in program.read("/units/L07/logbook")["entries"] if e["kind"] == kind]
