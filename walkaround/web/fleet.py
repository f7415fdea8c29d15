"""The units of the fleet: add one, change what is said of one."""

from typing import Any

from flask import Blueprint, abort, flash, g, redirect, render_template, url_for
from werkzeug.wrappers import Response
from wtforms import StringField
from wtforms.validators import DataRequired, Length, Optional, ValidationError

from walkaround import clock, words
from walkaround.actions.add_unit import BadUnit, add_unit
from walkaround.actions.set_unit import set_unit
from walkaround.rules.checklist import ANY_MACHINE
from walkaround.rules.refusal import N_
from walkaround.store import settings, units
from walkaround.store.lists import lists
from walkaround.store.models import UnitRow
from walkaround.web.amounts import amount
from walkaround.web.guards import may
from walkaround.web.language import machine, say
from walkaround.web.proof import ProofForm

LONG = N_("This is too long: 80 letters are taken at most.")

Page = Response | tuple[str, int]

bp = Blueprint("fleet", __name__)


def figures(_form: ProofForm, field: StringField) -> None:
    """Take a number that is not below zero, with a point or a comma."""
    try:
        wrong = amount(field.data) < 0
    except ValueError:
        wrong = True
    if wrong:
        raise ValidationError(N_("Give it in figures, like 1234.5."))


class UnitForm(ProofForm):
    """What can be said of a unit at any time."""

    machine = StringField(
        N_("Machine"),
        [DataRequired(N_("Say what kind of machine it is.")), Length(max=80, message=LONG)],
    )
    title = StringField(N_("What it is called beside its number"), [Length(max=80, message=LONG)])
    limit = StringField(N_("Highest blend of biodiesel, in percent"), [Optional(), figures])

    @property
    def said(self) -> dict[str, Any]:
        """Return what the actions take."""
        limit = amount(self.limit.data) if self.limit.data else None
        machine, title = (
            words.kind(field.data or "", say) or None for field in (self.machine, self.title)
        )
        return {"machine": machine, "title": title, "biodiesel_limit": limit}


class NewForm(UnitForm):
    """A new unit."""

    number = StringField(N_("Unit number"), [DataRequired(N_("Give the painted number."))])
    hours = StringField(N_("Hour meter now"), [Optional(), figures])


@bp.route("/fleet/new", methods=["GET", "POST"])
@may("supervisor")
def new() -> Page:
    """Add a unit, with a label of its own."""
    form = NewForm()
    if form.validate_on_submit():
        hours = amount(form.hours.data) if form.hours.data else None
        try:
            made = add_unit(g.db, form.number.data, now=clock.now(), hours=hours, **form.said)
            return _done(made, say("%(unit)s is in the fleet. Print its label.", unit=made.number))
        except BadUnit as error:
            form.number.errors = [say(error.sentence, **error.data)]
    return _page("fleet/new.html", form)


@bp.route("/units/<number>/change", methods=["GET", "POST"])
@may("supervisor")
def change(number: str) -> Page:
    """Change what is said of a unit; its number stays for ever."""
    unit = units.find(g.db, number) or abort(404)
    limit = settings.value(g.db, "biodiesel_limit", about=number)
    said = {"machine": machine(unit.machine), "title": machine(unit.title), "limit": limit}
    form = UnitForm(data=said)
    if not form.validate_on_submit():
        return _page("fleet/change.html", form, unit)
    made = set_unit(g.db, number, clock.now(), **form.said)
    return _done(made, say("%(unit)s was changed.", unit=number))


def _page(name: str, form: UnitForm, unit: UnitRow | None = None) -> Page:
    listed = {version.checklist.machine for version in lists(g.db).versions} - {ANY_MACHINE}
    status = 422 if form.is_submitted() else 200
    return render_template(name, form=form, unit=unit, machines=sorted(listed)), status


def _done(unit: UnitRow, words: str) -> Response:
    flash(words)
    return redirect(url_for("units.show", number=unit.number), code=303)
