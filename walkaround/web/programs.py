"""What programs read: JSON about people, units, lists and logbooks."""

from typing import Any

from flask import Blueprint, Response, current_app, g, jsonify, request
from flask_wtf.csrf import generate_csrf
from werkzeug.exceptions import Forbidden, NotFound, UnprocessableEntity

from walkaround import clock
from walkaround.rules import instant
from walkaround.rules.coverage import is_due
from walkaround.rules.shift import Shift
from walkaround.store import (
    checklists,
    entries,
    measures,
    people,
    refused,
    settings,
    standings,
    units,
)
from walkaround.store.models import UnitRow
from walkaround.web.checklist_json import checklist_json
from walkaround.web.guards import api
from walkaround.web.revision import revision
from walkaround.web.unit_json import unit_json

DIGITS = 15  # any number of so many is below 2^53

bp = Blueprint("programs", __name__, url_prefix="/api/v1")


@bp.get("/me")
@api()
def me() -> Response:
    """Return who asks, where and when."""
    now = clock.now()
    shift = settings.site_rules(g.db).roster.at(now)
    said: dict[str, Any] = {
        "name": g.person.name,
        "crew_number": g.person.crew_number,
        "roles": list(g.person.roles),
        "site": g.db.info["site"],
        "now": instant.text(now),
        "shift": _shift(shift),
        "seal_key": current_app.extensions["walkaround"].keys.seal_jwk(),
    }
    return jsonify(said if g.token else {**said, "csrf": generate_csrf()})


@bp.get("/people")
@api()
def all_people() -> Response:
    """Return everybody who ever was here."""
    found = people.persons(g.db, clock.now())
    names = ("crew_number", "name", "roles", "active")
    return jsonify(people=[{name: getattr(one, name) for name in names} for one in found])


@bp.get("/units")
@api()
def all_units() -> Response:
    """Return how all units stand."""
    found = standings.every(g.db, clock.now())
    return jsonify(
        units=[unit_json(one, g.language) for one in found], revision=revision(g.db, found)
    )


@bp.get("/units/<number>")
@api()
def unit(number: str) -> Response:
    """Return how one unit stands, or stood, or will stand."""
    found, now = _unit(number), clock.now()
    if (asked := request.args.get("at")) is None:
        return jsonify(unit_json(standings.of(g.db, found, now), g.language))
    if "supervisor" not in g.person.roles:
        raise Forbidden
    return jsonify(unit_json(standings.at(g.db, found, _instant(asked)), g.language))


@bp.get("/units/<number>/checklist")
@api()
def checklist(number: str) -> Response:
    """Return the checklist in force for an occasion."""
    found, now = _unit(number), clock.now()
    occasion = request.args.get("occasion", "start_of_shift")
    in_force = checklists.in_force(g.db, found.machine, occasion)
    if in_force is None:
        raise NotFound
    measured = measures.last(g.db, number, in_force)
    due = {
        item.name
        for item in in_force.items
        if is_due(item.measure.every if item.measure else None, measured.get(item.name, ()), now)
    }
    return jsonify(checklist_json(in_force, due, g.language))


@bp.get("/units/<number>/logbook")
@api()
def logbook(number: str) -> Response:
    """Return a unit's entries after a place in its logbook, oldest first."""
    found, after = _unit(number), request.args.get("after", "0")
    if not after.isdecimal() or len(after) > DIGITS:
        raise UnprocessableEntity
    rows = entries.of_unit(g.db, found.number, after=int(after))
    return jsonify(unit=found.number, entries=[entries.members(row) for row in rows])


@bp.get("/units/<number>/services")
@api()
def services(number: str) -> Response:
    """Return the services of a unit; there are none yet."""
    _unit(number)
    return jsonify(services=[])


@bp.get("/refused")
@api("supervisor")
def all_refused() -> Response:
    """Return what could not be entered, newest first."""
    return jsonify(refused=[refused.as_json(row) for row in refused.every(g.db)])


def _unit(number: str) -> UnitRow:
    if found := units.find(g.db, number):
        return found
    raise NotFound


def _instant(text: str) -> int:
    try:
        return instant.parse(text.replace(" ", "+"))
    except ValueError as error:
        raise UnprocessableEntity from error


def _shift(shift: Shift | None) -> dict[str, str] | None:
    if shift is None:
        return None
    return {"start": instant.text(shift.start), "end": instant.text(shift.end)}
