"""A unit as programs see it (contract: design, section 6)."""

from typing import Any

from walkaround.rules import instant
from walkaround.rules.coverage import Walk
from walkaround.rules.line import Line
from walkaround.rules.verdict import Reason
from walkaround.store.standings import Standing
from walkaround.web import reasons


def unit_json(standing: Standing, language: str) -> dict[str, Any]:
    """Return the whole object."""
    unit, verdict = standing.unit, standing.verdict
    return {
        "number": unit.number,
        "title": unit.title,
        "machine": unit.machine,
        "seq": unit.seq,
        "hash": unit.hash,
        "verdict": verdict_json(standing, language),
        "walked": _walk_json(verdict.walked, standing),
        "last_walked": _walk_json(standing.last, standing),
        "hours": standing.hours,
        "open_defects": [_line_json(line, standing, language) for line in standing.lines],
        "next_service": None,
    }


def verdict_json(standing: Standing, language: str) -> dict[str, Any]:
    """Return the verdict alone."""
    verdict = standing.verdict
    return {
        "state": verdict.state,
        "may_run": verdict.may_run,
        "valid_until": _text(verdict.valid_until),
        "reasons": [_reason_json(reason, standing, language) for reason in verdict.reasons],
    }


def _reason_json(reason: Reason, standing: Standing, language: str) -> dict[str, Any]:
    optional = {
        "item": reason.item,
        "defects": list(reason.defects),
        "hold": reason.hold,
        "lay_up": reason.lay_up,
        "about": reason.about,
    }
    said = {name: value for name, value in optional.items() if value}
    return {"code": reason.code, "text": reasons.text(reason, standing, language), **said}


def _line_json(line: Line, standing: Standing, language: str) -> dict[str, Any]:
    made: dict[str, Any] = {
        "item": line.item,
        "title": reasons.title(line, standing, language),
        "critical": line.critical,
        "state": line.state,
        "defects": list(line.ids),
        "since": instant.text(line.since),
    }
    if line.deferral:
        made["until"] = instant.text(line.deferral.until)
        made["restrictions"] = "\n".join(line.deferral.restrictions)
        if line.deferral.until_hours:
            made["until_hours"] = min(line.deferral.until_hours)
    return made


def _walk_json(walk: Walk | None, standing: Standing) -> dict[str, Any] | None:
    if walk is None:
        return None
    return {
        "entry": walk.entry,
        "by": walk.by,
        "at": _text(walk.made_at),
        "for_shift": _text(standing.shift_start(walk)),
    }


def _text(at: int | None) -> str | None:
    return None if at is None else instant.text(at)
