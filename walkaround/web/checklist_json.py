"""A checklist as programs see it (contract: design, section 6)."""

from collections.abc import Collection
from typing import Any

from walkaround.rules.checklist import Checklist, Item, Measure
from walkaround.rules.words import say


def checklist_json(checklist: Checklist, due: Collection[str], language: str) -> dict[str, Any]:
    """Return the list in walking order, in one language; `due` are the items asked for now."""
    return {
        "checklist": checklist.name,
        "version": checklist.version,
        "title": say(checklist.title, language),
        "cautions": [say(caution, language) for caution in checklist.cautions],
        "stations": [
            {
                "station": station.name,
                "title": say(station.title, language),
                "engine": station.engine,
                "items": [_item(item, item.name in due, language) for item in station.items],
            }
            for station in checklist.stations
        ],
    }


def _item(item: Item, due: bool, language: str) -> dict[str, Any]:
    findings = [{"finding": n, "title": say(t, language)} for n, t in item.findings.items()]
    made = {
        "item": item.name,
        "look": say(item.look, language),
        "good": say(item.good, language),
        "critical": item.critical,
        "due": due,
        "photo": "asked" if item.photo else "no",
        "findings": findings,
        "answers": list(item.answers()),
    }
    how = {"how": say(item.how, language)} if item.how else {}
    measure = {"measure": _measure(item.measure)} if item.measure else {}
    return made | how | measure


def _measure(measure: Measure) -> dict[str, Any]:
    limits = {"low": measure.low, "high": measure.high}
    said = {name: value for name, value in limits.items() if value is not None}
    return {"quantity": measure.quantity, "in": measure.unit, **said}
