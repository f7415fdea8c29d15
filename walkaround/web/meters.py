"""The hour meter of a unit: a reading, or a new meter."""

from flask import Blueprint, abort, flash, g, redirect, render_template, url_for
from werkzeug.wrappers import Response
from wtforms import BooleanField, StringField, TextAreaField
from wtforms.validators import DataRequired, Length

from walkaround import clock
from walkaround.actions.change_meter import NewMeter, change_meter
from walkaround.actions.record_hours import record_hours
from walkaround.rules import reading
from walkaround.rules.refusal import N_
from walkaround.store import readings, units
from walkaround.store.models import UnitRow
from walkaround.web.amounts import amount
from walkaround.web.fleet import figures
from walkaround.web.guards import may, signed_in
from walkaround.web.language import say
from walkaround.web.signing import LONG, SignedForm

STRANGE = {
    reading.LOWER: N_("That is lower than the last reading. Read it again."),
    reading.FASTER: N_("That is more hours than have passed since the last reading."),
}
WHY = N_("Say why it was changed.")
READ = N_("Give the reading.")

Page = Response | tuple[str, int]

bp = Blueprint("meters", __name__, url_prefix="/units/<number>")


class HoursForm(SignedForm):
    """A reading; one that cannot be is taken only when it is insisted on."""

    hours = StringField(N_("Hour meter"), [DataRequired(READ), figures])
    insisted = BooleanField(N_("It really shows this: keep it, marked as doubtful"))


class MeterForm(SignedForm):
    """What the old meter showed last and the new one first."""

    old = StringField(N_("The old meter showed last"), [DataRequired(READ), figures])
    new = StringField(N_("The new meter shows"), [DataRequired(READ), figures])
    note = TextAreaField(N_("Why"), [DataRequired(WHY), Length(max=2000, message=LONG)])


@bp.route("/hours/new", methods=["GET", "POST"])
@signed_in
def hours(number: str) -> Page:
    """Record a reading."""
    unit, form = units.find(g.db, number) or abort(404), HoursForm()
    why = strange(unit, form.hours.data) if form.validate_on_submit() else None
    if why and not form.insisted.data:
        form.hours.errors = [why]
    if not form.is_submitted() or form.errors:
        return _page("meters/hours.html", form, unit, strange=why)
    value, now = amount(form.hours.data), clock.now()
    record_hours(g.db, number, value, form.signer, now, insisted=why is not None)
    return _done(number)


@bp.route("/meter/change", methods=["GET", "POST"])
@may("supervisor")
def change(number: str) -> Page:
    """Let the hours go on from a new meter."""
    unit, form = units.find(g.db, number) or abort(404), MeterForm()
    if not form.validate_on_submit():
        return _page("meters/change.html", form, unit)
    meter = NewMeter(amount(form.old.data), amount(form.new.data), form.note.data)
    change_meter(g.db, number, meter, form.signer, clock.now())
    return _done(number)


def strange(unit: UnitRow, typed: str) -> str | None:
    """Return why a reading cannot be, in words; a form that was posted before may stand."""
    if not typed:
        return None
    since = readings.last_at(g.db, unit)
    why = reading.strange(amount(typed), unit.standing, since, clock.now())
    return STRANGE[why] if why else None


def _page(name: str, form: SignedForm, unit: UnitRow, strange: str | None = None) -> Page:
    status = 422 if form.is_submitted() else 200
    return render_template(name, form=form, unit=unit, strange=strange), status


def _done(number: str) -> Response:
    flash(say("It stands in the logbook of %(unit)s.", unit=number))
    return redirect(url_for("units.show", number=number), code=303)
