"""Where a label's QR leads, and printing and replacing labels."""

from collections.abc import Sequence

from flask import (
    Blueprint,
    Response,
    abort,
    current_app,
    flash,
    g,
    redirect,
    render_template,
    request,
    url_for,
)
from werkzeug.wrappers import Response as AnyResponse

from walkaround import clock, words
from walkaround.actions.replace_label import replace_label
from walkaround.store import labels, settings, site, standings, units
from walkaround.store.models import LabelRow, UnitRow
from walkaround.web.guards import may
from walkaround.web.language import say
from walkaround.web.proof import ProofForm

bp = Blueprint("labels", __name__)

Page = str | tuple[str, int] | AnyResponse


class ReplacementForm(ProofForm):
    """Nothing but the proof: the new token is made here."""


@bp.get("/q/<token>")
def scanned(token: str) -> Page:
    """Lead whoever scanned a label: to the unit, to the sign-in, or to what a stranger may know."""
    label = labels.find(g.db, token)
    if label is None or label.replaced_at is not None:
        return _out_of_date(label)
    page = url_for("units.show", number=label.unit)
    if g.person:
        return redirect(page, code=303)
    if g.phone:
        return redirect(url_for("sign_in.new", next=page), code=303)
    return _for_a_stranger(label.unit)


@bp.get("/labels")
@may("supervisor")
def index() -> str:
    """Choose units whose labels are to be printed."""
    chosen = request.args.getlist("unit")
    return render_template("labels/index.html", units=units.every(g.db), chosen=chosen)


@bp.get("/labels.pdf")
@may("supervisor")
def pdf() -> Response:
    """Return the labels of the units chosen, or of all."""
    wanted = request.args.getlist("unit")
    found = [one for one in units.every(g.db) if not wanted or one.number in wanted]
    if not found or len(found) < len(set(wanted)):
        abort(404)
    headers = {"Content-Disposition": "attachment; filename=labels.pdf"}
    return Response(_printed(found), headers=headers, mimetype="application/pdf")


@bp.route("/units/<number>/label/replacement", methods=["GET", "POST"])
@may("supervisor")
def replacement(number: str) -> Page:
    """Give a unit a new label; the old one shows nothing any more."""
    unit, form = units.find(g.db, number) or abort(404), ReplacementForm()
    if not form.validate_on_submit():
        status = 422 if form.is_submitted() else 200
        return render_template("labels/replacement.html", form=form, unit=unit), status
    replace_label(g.db, number, clock.now(), by=g.person.crew_number)
    flash(say("The old label of %(unit)s is over. Print the new one.", unit=number))
    return redirect(url_for("labels.index", unit=number), code=303)


def _for_a_stranger(number: str) -> str:
    """Return number, verdict and whom to call, or the number alone where the site wants it so."""
    hides = settings.value(g.db, "label_hides") == "on"
    unit = None if hides else units.find(g.db, number)
    return render_template(
        "labels/scanned.html",
        number=number,
        state=standings.of(g.db, unit, clock.now()).verdict.state if unit else None,
        call=None if hides else settings.value(g.db, "call"),
    )


def _out_of_date(label: LabelRow | None) -> tuple[str, int]:
    """Return one page for all that lead nowhere; only a supervisor learns whose label it was."""
    supervises = g.person is not None and "supervisor" in g.person.roles
    unit = label.unit if label and supervises else None
    return render_template("labels/out_of_date.html", unit=unit), 410 if label else 404


def _printed(wanted: Sequence[UnitRow]) -> bytes:
    from walkaround.paper.labels import Label, labels_pdf  # here: WeasyPrint is slow to start

    address = current_app.config["BASE_URL"] + "/q/"
    made = [
        Label(u.number, u.title, u.machine, address + labels.current(g.db, u.number))
        for u in wanted
    ]
    language, call = site.language(g.db), settings.value(g.db, "call")
    return labels_pdf(made, g.db.info["site"], language, words.gettext(language), call)
