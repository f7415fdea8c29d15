"""The start: each person is led to the page of their work."""

from flask import Blueprint, g, redirect, url_for
from werkzeug.wrappers import Response

from walkaround.web.guards import signed_in

bp = Blueprint("start", __name__)


@bp.get("/")
@signed_in
def index() -> Response:
    """Lead a supervisor to the board, a mechanic to the defects, an operator to the units."""
    roles = g.person.roles
    page = (
        "board.show"
        if "supervisor" in roles
        else "defects.index"
        if "mechanic" in roles
        else "units.index"
    )
    return redirect(url_for(page), code=303)
