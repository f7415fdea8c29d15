"""What phones and programs send: JSON, safe to repeat."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from flask import Blueprint, Response, current_app, g, jsonify, request

from walkaround import clock
from walkaround.actions.check_signers import Signed, check_signers, sender_of
from walkaround.actions.enter import Result, Sender, enter
from walkaround.store import standings, units
from walkaround.store.keys import Keys
from walkaround.web import batch
from walkaround.web.guards import api
from walkaround.web.unit_json import verdict_json

bp = Blueprint("entries", __name__)


@bp.post("/api/v1/entries")
@api()
def post() -> Response:
    """Take in a batch of entries, each on its own, and say what became of each."""
    sent_at, sent = batch.read()
    through = g.phone.id if g.phone else g.token.id if g.token else None
    signed = check_signers(g.db, _keys(), sent, through, clock.now(), request.remote_addr)
    results = [_one(entry, sent_at, signed) for entry in sent]
    return jsonify(results=results)


def _one(entry: Any, sent_at: int, signed: Signed) -> dict[str, Any]:
    sent = entry if isinstance(entry, dict) else {"body": entry}
    own = Sender(g.person.crew_number, True, sent_at)
    result = enter(g.db, sent, sender_of(_keys(), sent, signed, own), clock.now())
    return _result(result, sent)


def _result(result: Result, sent: Mapping[str, Any]) -> dict[str, Any]:
    said = {name: value for name, value in asdict(result).items() if value}
    said["id"] = sent.get("id")
    unit = units.find(g.db, sent["unit"]) if isinstance(sent.get("unit"), str) else None
    if unit:
        said["verdict"] = verdict_json(standings.of(g.db, unit, clock.now()), g.language)
    return said


def _keys() -> Keys:
    keys: Keys = current_app.extensions["walkaround"].keys
    return keys
