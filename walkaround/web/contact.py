"""What phones say of themselves at each contact, also while nobody is signed in there."""

import re
from typing import Any

from flask import Blueprint, Response, abort, g, jsonify, request
from flask_wtf.csrf import generate_csrf

from walkaround import clock
from walkaround.actions.hear_phone import Word, hear_phone
from walkaround.store import incoming
from walkaround.store.phone_gaps import MOST
from walkaround.web.guards import on_a_phone

RELEASE = re.compile("[0-9a-f]{16}")

bp = Blueprint("contact", __name__, url_prefix="/phones/this")


@bp.get("")
@on_a_phone
def known() -> Response:
    """Return which numbers of this phone's entries are spoken for, and a token to answer with."""
    phone = g.phone or abort(404)
    return jsonify(highest=phone.highest or 0, csrf=generate_csrf())


@bp.post("")
@on_a_phone
def told() -> Response:
    """Note what this phone says of itself; say which numbers are spoken for."""
    phone = g.phone or abort(404)
    return jsonify(highest=hear_phone(g.db, phone.id, _said(), clock.now()))


def _said() -> Word:
    try:
        said: Any = incoming.parse(request.get_data())
    except (ValueError, RecursionError):
        said = None
    if not isinstance(said, dict):
        abort(422)
    waiting, release = said.get("waiting"), said.get("release")
    if type(waiting) is not int or not 0 <= waiting < MOST:
        abort(422)
    if release is not None and not (isinstance(release, str) and RELEASE.fullmatch(release)):
        abort(422)
    return Word(waiting, release, said.get("emptied") is True)
