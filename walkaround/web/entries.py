"""What phones and programs send: JSON, safe to repeat."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from flask import Blueprint, Response, current_app, g, jsonify, request

from walkaround import clock
from walkaround.actions.check_pin import check_pins
from walkaround.actions.enter import Result, Sender, enter
from walkaround.rules.person import is_crew_number
from walkaround.store import standings, units
from walkaround.web import batch
from walkaround.web.guards import api
from walkaround.web.unit_json import verdict_json

bp = Blueprint("entries", __name__)


@bp.post("/api/v1/entries")
@api()
def post() -> Response:
    """Take in a batch of entries, each on its own, and say what became of each."""
    sent_at, sent = batch.read()
    signed = _signatures(sent)
    results = [_one(entry, sent_at, signed) for entry in sent]
    return jsonify(results=results)


def _signatures(sent: Sequence[Any]) -> Mapping[tuple[str, str], bool]:
    """Check the PINs that are sealed in the entries, each once, before anything is written."""
    pairs = [pair for entry in sent if (pair := _sealed(entry))]
    through = g.phone.id if g.phone else g.token.id if g.token else None
    keys = current_app.extensions["walkaround"].keys
    return check_pins(g.db, keys, pairs, through, clock.now(), request.remote_addr)


def _sealed(entry: Any) -> tuple[str, str] | None:
    """Return the crew number and PIN that sign an entry; a seal for another entry is no PIN."""
    signer = _signer(entry)
    try:
        seal = current_app.extensions["walkaround"].keys.unseal(signer["sealed_pin"])
    except (ValueError, KeyError, TypeError):
        return None
    return (signer["crew_number"], seal["pin"]) if seal["entry"] == entry.get("id") else None


def _signer(entry: Any) -> Mapping[str, str]:
    """Return who signs an entry and the seal; nothing where nobody can be meant."""
    signer = entry.get("signer") if isinstance(entry, dict) else None
    if not isinstance(signer, dict) or not isinstance(number := signer.get("crew_number"), str):
        return {}
    if not is_crew_number(number.strip()):
        return {}
    return {"crew_number": number.strip(), "sealed_pin": str(signer.get("sealed_pin"))}


def _one(entry: Any, sent_at: int, signed: Mapping[tuple[str, str], bool]) -> dict[str, Any]:
    sent = entry if isinstance(entry, dict) else {"body": entry}
    sender = Sender(g.person.crew_number, True, sent_at)
    if sent.get("signer") is not None:
        number = _signer(sent).get("crew_number", g.person.crew_number)
        pair = _sealed(sent)
        sender = Sender(number, bool(pair and signed.get(pair)), sent_at)
    result = enter(g.db, sent, sender, clock.now())
    return _result(result, sent)


def _result(result: Result, sent: Mapping[str, Any]) -> dict[str, Any]:
    said = {name: value for name, value in asdict(result).items() if value}
    said["id"] = sent.get("id")
    unit = units.find(g.db, sent["unit"]) if isinstance(sent.get("unit"), str) else None
    if unit:
        said["verdict"] = verdict_json(standings.of(g.db, unit, clock.now()), g.language)
    return said
