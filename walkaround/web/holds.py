"""Taking units out of use and giving them back: holds and lay-ups."""

from collections.abc import Callable

from flask import Blueprint, abort, flash, g, redirect, render_template, url_for
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response
from wtforms import TextAreaField
from wtforms.validators import DataRequired, Length

from walkaround import clock
from walkaround.actions.enter import Result
from walkaround.actions.hold_unit import hold_unit
from walkaround.actions.lay_up_unit import lay_up_unit
from walkaround.actions.make_entry import Signer
from walkaround.actions.release_unit import release_unit
from walkaround.actions.return_unit import return_unit
from walkaround.rules.refusal import N_
from walkaround.store import holds, units
from walkaround.store.models import HoldRow, UnitRow
from walkaround.web.guards import may
from walkaround.web.language import say
from walkaround.web.lines import who
from walkaround.web.signing import LONG, SignedForm

Page = Response | tuple[str, int]

bp = Blueprint("holds", __name__, url_prefix="/units/<number>")


class ReasonForm(SignedForm):
    """Why, in words that whoever stands before the machine will read."""

    words = TextAreaField(N_("Why"), [DataRequired(N_("Say why.")), Length(max=2000, message=LONG)])


@bp.route("/holds/new", methods=["GET", "POST"])
@may("supervisor")
def new(number: str) -> Page:
    """Take a unit out of use."""
    return _begin(number, "holds/hold.html", hold_unit)


@bp.route("/holds/<id>/release", methods=["GET", "POST"])
@may("supervisor")
def release(number: str, id: str) -> Page:
    """Give a unit back."""
    return _end(_hold(number, id, "hold"), "holds/end_hold.html", release_unit)


@bp.route("/lay-ups/new", methods=["GET", "POST"])
@may("supervisor")
def lay_up(number: str) -> Page:
    """Take a unit out of the fleet for now."""
    return _begin(number, "holds/lay_up.html", lay_up_unit)


@bp.route("/lay-ups/<id>/return", methods=["GET", "POST"])
@may("supervisor")
def return_(number: str, id: str) -> Page:
    """Bring a unit back into the fleet."""
    return _end(_hold(number, id, "lay_up"), "holds/end_lay_up.html", return_unit)


def _begin(
    number: str, page: str, action: Callable[[Session, str, str, Signer, int], Result]
) -> Page:
    unit, form = _unit(number), ReasonForm()
    if not form.validate_on_submit():
        return _page(page, form, unit)
    action(g.db, number, form.words.data, form.signer, clock.now())
    return _done(number)


def _end(
    hold: HoldRow, page: str, action: Callable[[Session, str, str, str, Signer, int], Result]
) -> Page:
    unit, form = _unit(hold.unit), ReasonForm()
    if not form.validate_on_submit():
        return _page(page, form, unit, hold)
    action(g.db, unit.number, hold.id, form.words.data, form.signer, clock.now())
    return _done(unit.number)


def _hold(number: str, id: str, kind: str) -> HoldRow:
    return holds.find(g.db, number, id, kind) or abort(404)


def _unit(number: str) -> UnitRow:
    return units.find(g.db, number) or abort(404)


def _page(name: str, form: ReasonForm, unit: UnitRow, hold: HoldRow | None = None) -> Page:
    status = 422 if form.is_submitted() else 200
    return render_template(name, form=form, unit=unit, hold=hold, who=who), status


def _done(number: str) -> Response:
    flash(say("It stands in the logbook of %(unit)s.", unit=number))
    return redirect(url_for("units.show", number=number), code=303)
