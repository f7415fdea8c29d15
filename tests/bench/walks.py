"""Walk-arounds as phones send them: the shipped list of the wheel loader, every item answered."""

import uuid
from typing import Any

from walkaround import places
from walkaround.rules import instant
from walkaround.rules.checklist import Item
from walkaround.store.checklists_yaml import read_file

CHECKLIST = read_file(places.checklists() / "wheel-loader-start.yaml")


def entry(unit: str, now: int, hours: float = 100.0) -> dict[str, Any]:
    """Return a walk-around that ends now, everything in order, as it is sent."""
    return {
        "id": str(uuid.uuid4()),
        "kind": "walkaround",
        "unit": unit,
        "made_at": instant.text(now),
        "body": body(now, hours),
    }


def body(now: int, hours: float, **given: Any) -> dict[str, Any]:
    """Return the body of one that took ten minutes, in order but for the answers given."""
    return {
        "checklist": CHECKLIST.name,
        "version": CHECKLIST.version,
        "started_at": instant.text(now - 10 * instant.MINUTE),
        "finished_at": instant.text(now),
        "hours": hours,
        "answers": [given.get(item.name) or answer(item) for item in CHECKLIST.items],
    }


def answer(item: Item) -> dict[str, Any]:
    """Return an answer that is in order: the word, or a value between the limits."""
    if item.measure is None:
        return {"item": item.name, "answer": "in_order"}
    low, high = item.measure.low, item.measure.high
    ends = [end for end in (low, high) if end is not None] or [1]
    return {"item": item.name, "value": sum(ends) / len(ends)}
