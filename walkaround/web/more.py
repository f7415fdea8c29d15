"""The further places: for a supervisor the office, for everybody the way out."""

from flask import Blueprint, g, render_template

from walkaround import clock
from walkaround.store import doubts, phone_gaps, refused
from walkaround.web.guards import signed_in

bp = Blueprint("more", __name__)


@bp.get("/more")
@signed_in
def index() -> str:
    """Show where else to go, and who is signed in."""
    supervises = "supervisor" in g.person.roles
    waiting = len({(one.unit, one.about) for one in doubts.unsettled(g.db)}) if supervises else 0
    kept_aside = refused.count_waiting(g.db) if supervises else 0
    lacking = len(phone_gaps.lacking(g.db, clock.now())) if supervises else 0
    return render_template("more/index.html", doubts=waiting, refused=kept_aside, lacking=lacking)
