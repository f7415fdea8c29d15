"""Pages that a phone keeps for when there is no signal: no name, no number, no token in them.

Scripts fill them with what the phone last heard (`kept_json`) and with its own work.
"""

from flask import Blueprint, Response, abort, g, jsonify, render_template, request

from walkaround import clock
from walkaround.rules.checklist import Checklist
from walkaround.store import checklists
from walkaround.web.entry_words import FLUIDS, title
from walkaround.web.guards import api, on_a_phone
from walkaround.web.kept_json import kept_json, revision
from walkaround.web.kept_walk import kept_walk
from walkaround.web.language import say
from walkaround.web.reports import places
from walkaround.web.units import OCCASIONS
from walkaround.web.walkarounds import WalkForm

bp = Blueprint("kept", __name__)

SHELLS = {
    "way": "kept/way.html",
    "units": "kept/units.html",
    "unit": "kept/unit.html",
    "clear": "kept/clear.html",
    "hours": "kept/hours.html",
    "fill": "kept/fill.html",
    "result": "kept/result.html",
}
KINDS = ("walkaround", "defect", "clear", "hours", "fill")  # what is recorded without a signal
PAGES = [*(f"/kept/{name}" for name in SHELLS), "/waiting", "/scan"]


@bp.get("/api/v1/kept")
@api()
def everything() -> Response:
    """Return all that a phone keeps of the site; 304 while nothing has changed."""
    now = clock.now()
    tag = revision(now)
    if request.if_none_match.contains_weak(tag):
        response = Response(status=304)
    else:
        response = jsonify(kept_json(now))
    response.set_etag(tag, weak=True)
    return response


@bp.get("/kept/<any(way, units, unit, clear, hours, fill, result):shell>")
def page(shell: str) -> str:
    """Return one of the pages that fit every unit."""
    fluids = [(fluid, say(words)) for fluid, words in FLUIDS.items()]
    return render_template(SHELLS[shell], occasions=OCCASIONS, fluids=fluids)


@bp.get("/waiting")
def waiting() -> str:
    """Return the page that lists what this phone has not sent yet."""
    return render_template("kept/waiting.html", kinds=[(kind, title(kind)) for kind in KINDS])


@bp.get("/kept/walkarounds/<checklist>/<edition>")
@on_a_phone
def walk(checklist: str, edition: str) -> str:
    """Return a walk with one version of a checklist, for any unit."""
    form = WalkForm(formdata=None)
    page = kept_walk(_list(checklist, edition), form)
    return render_template("walkarounds/new.html", page=page, form=form)


@bp.get("/kept/reports/<checklist>/<edition>")
@on_a_phone
def report(checklist: str, edition: str) -> str:
    """Return the places of one version of a checklist, to report a defect at one of them."""
    found = _list(checklist, edition)
    return render_template("kept/report.html", stations=places([found]))


def _list(name: str, version: str) -> Checklist:
    return checklists.find(g.db, name, version) or abort(404)
