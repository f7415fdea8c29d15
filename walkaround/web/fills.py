"""A fluid that was filled up."""

from flask import Blueprint, abort, flash, g, redirect, render_template, url_for
from werkzeug.wrappers import Response
from wtforms import BooleanField, RadioField, StringField
from wtforms.validators import AnyOf, DataRequired, Optional, ValidationError

from walkaround import clock
from walkaround.actions.record_fill import record_fill
from walkaround.rules.body import Fill
from walkaround.rules.refusal import N_
from walkaround.store import settings, units
from walkaround.store.models import UnitRow
from walkaround.web.amounts import amount
from walkaround.web.entry_words import FLUIDS
from walkaround.web.fleet import figures
from walkaround.web.guards import signed_in
from walkaround.web.language import say
from walkaround.web.meters import strange
from walkaround.web.signing import SignedForm

MOST_LITRES = 10_000  # ours: above the tanks that we know of, below a slipped decimal point
NO_FLUID = N_("Choose what was filled in.")

Page = Response | tuple[str, int]

bp = Blueprint("fills", __name__, url_prefix="/units/<number>/fills")


class FillForm(SignedForm):
    """What was filled in, and how much; a reading that cannot be only where it is insisted on."""

    fluid = RadioField(
        N_("What was filled in"),
        [AnyOf(FLUIDS, NO_FLUID)],
        choices=list(FLUIDS),
        validate_choice=False,
    )
    litres = StringField(N_("How much"), [DataRequired(N_("Give the litres.")), figures])
    to_full = BooleanField(N_("It is full now"))
    hours = StringField(N_("Hour meter"), [Optional(), figures])
    insisted = BooleanField(N_("It really shows this: keep it, marked as doubtful"))
    biodiesel_percent = StringField(N_("Biodiesel in the diesel"), [Optional(), figures])

    def validate_litres(self, field: StringField) -> None:
        """Take what a tank may take."""
        if not field.errors and not 0 < amount(field.data) <= MOST_LITRES:
            raise ValidationError(N_("Give more than 0 and at most 10,000 litres."))

    def validate_biodiesel_percent(self, field: StringField) -> None:
        """Take a blend, of diesel alone."""
        if not field.data or field.errors:
            return
        if self.fluid.data != "diesel":
            raise ValidationError(N_("Only diesel holds biodiesel: leave this empty."))
        if amount(field.data) > 100:
            raise ValidationError(N_("Give it in percent, at most 100."))

    def fill(self, *, insisted: bool) -> Fill:
        """Return what was said."""
        hours, blend = self.hours.data, self.biodiesel_percent.data
        return Fill(
            fluid=self.fluid.data,
            litres=amount(self.litres.data),
            hours=amount(hours) if hours else None,
            insisted=insisted,
            to_full=self.to_full.data,
            biodiesel_percent=amount(blend) if blend else None,
        )


@bp.route("/new", methods=["GET", "POST"])
@signed_in
def new(number: str) -> Page:
    """Record a fill."""
    unit, form = units.find(g.db, number) or abort(404), FillForm()
    why = strange(unit, form.hours.data) if form.validate_on_submit() else None
    if why and not form.insisted.data:
        form.hours.errors = [why]
    if not form.is_submitted() or form.errors:
        return _page(form, unit)
    record_fill(g.db, number, form.fill(insisted=why is not None), form.signer, clock.now())
    flash(say("It stands in the logbook of %(unit)s.", unit=number))
    return redirect(url_for("units.show", number=number), code=303)


def _page(form: FillForm, unit: UnitRow) -> Page:
    limit = settings.value(g.db, "biodiesel_limit", about=unit.number)
    fluids = [(name, say(words)) for name, words in FLUIDS.items()]
    page = render_template("fills/new.html", form=form, unit=unit, fluids=fluids, limit=limit)
    return page, 422 if form.is_submitted() else 200
