"""Builds valid things with plain defaults; a test states only what matters to it."""

import uuid
from pathlib import Path
from typing import Any

from walkaround.rules import instant
from walkaround.store.checklists_yaml import read_file

SITE = "Gravel pit"
DAWN = instant.parse("2026-11-25T05:00:00Z")  # 06:00 in Madrid: the first shift starts
LISTS = Path(__file__).parent / "lists"
VERSION = read_file(LISTS / "loader-start.yaml").version

# Three people whose names carry their rights: crew number, role, PIN.
CREW = {
    "Olga Operator": ("101", "operator", "4821"),
    "Milan Mechanic": ("201", "mechanic", "7306"),
    "Sara Supervisor": ("301", "supervisor", "9152"),
}
GOOD: dict[str, str | float] = {
    "tyre": "in_order",
    "seat": "in_order",
    "coupler": "not_fitted",
    "pressure": 340.0,
    "horn": "in_order",
}


def at(minutes: float) -> int:
    """Return an instant so many minutes after the first shift has started."""
    return DAWN + round(minutes * instant.MINUTE)


def answer(item: str, given: str | float, **more: Any) -> dict[str, Any]:
    """Return one answer: a word or a value."""
    return {"item": item, "answer" if isinstance(given, str) else "value": given, **more}


def walkaround(
    minutes: float = 10, *, more: dict[str, Any] | None = None, **given: Any
) -> dict[str, Any]:
    """Return the body of a clean walk-around, but for the answers given; None leaves one out."""
    answers = {**GOOD, **given}
    return {
        "checklist": "loader-start",
        "version": VERSION,
        "started_at": instant.text(at(minutes - 8)),
        "finished_at": instant.text(at(minutes)),
        "answers": [answer(item, one) for item, one in answers.items() if one is not None],
        **(more or {}),
    }


def entry(
    kind: str,
    body: dict[str, Any],
    *,
    minutes: float = 10,
    unit: str = "L07",
    id: str | None = None,
) -> dict[str, Any]:
    """Return an entry as it is sent."""
    made_at = instant.text(at(minutes))
    return {
        "id": id or str(uuid.uuid4()),
        "kind": kind,
        "unit": unit,
        "made_at": made_at,
        "body": body,
    }
