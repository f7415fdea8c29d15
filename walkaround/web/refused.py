"""What was refused: entering it after correction, or noting how it was dealt with."""

from datetime import datetime

from flask import Blueprint, abort, flash, g, redirect, render_template, url_for
from werkzeug.wrappers import Response
from wtforms import DateTimeLocalField, SelectField, StringField, TextAreaField
from wtforms.validators import DataRequired, InputRequired, Length, ValidationError

from walkaround import clock
from walkaround.actions.enter_refused import enter_refused
from walkaround.actions.make_entry import NotEntered
from walkaround.actions.note_refused import note_refused
from walkaround.rules import instant
from walkaround.rules.refusal import N_
from walkaround.rules.zone import first_instant
from walkaround.store import correctable, doubts, people, refused, units
from walkaround.store.correctable import TIMES, Correctable
from walkaround.web.doubts import refusal
from walkaround.web.guards import may
from walkaround.web.language import say
from walkaround.web.moments import moment
from walkaround.web.signing import LONG, SignedForm
from walkaround.web.whys import why

EARLIEST = 2000  # a year before which nobody has walked with a phone
LONGEST = 1000  # letters, so that words of ours fit beside them
NO_TIME = N_("Give the date and the time.")
NO_UNIT = N_("Choose the unit.")

Page = Response | tuple[str, int]

bp = Blueprint("refused", __name__, url_prefix="/refused/<id>")


class NoteForm(SignedForm):
    """Which unit it is about, where that is not known, and what the supervisor has to say."""

    unit = SelectField(N_("Unit"), validate_choice=False)
    note = TextAreaField(
        N_("What you found out"),
        [DataRequired(N_("Say what you found out.")), Length(max=LONGEST, message=LONG)],
    )
    latest = 0

    def ask(self, found: Correctable) -> None:
        """Ask for what is wrong, and for nothing else."""
        self.latest = found.row.received_at
        self.unit.choices = ["", *(unit.number for unit in units.every(g.db))]
        for name in {"unit", "by", *TIMES} - set(found.asks):
            if name in self:
                del self[name]

    def validate_unit(self, field: SelectField) -> None:
        """Take a unit of the site."""
        if not (field.data and units.find(g.db, field.data)):
            raise ValidationError(NO_UNIT)


class EnteringForm(NoteForm):
    """What must be corrected."""

    by = StringField(N_("Crew number of whoever made it"))
    made_at = DateTimeLocalField(N_("When it was made"), [InputRequired(NO_TIME)])
    started_at = DateTimeLocalField(N_("When the walk began"), [InputRequired(NO_TIME)])
    finished_at = DateTimeLocalField(N_("When the walk ended"), [InputRequired(NO_TIME)])

    def validate_by(self, field: StringField) -> None:
        """Take a number that is somebody's."""
        if people.find(g.db, field.data or "") is None:
            raise ValidationError(N_("Nobody here has this crew number."))

    def validate_made_at(self, field: DateTimeLocalField) -> None:
        """Take a time before it came in."""
        if field.data is None:
            field.errors.clear()
            raise ValidationError(NO_TIME)
        if field.data.year < EARLIEST or _instant(field.data) > self.latest:
            raise ValidationError(
                say("It came in %(when)s, so it was made before.", when=moment(self.latest))
            )

    validate_started_at = validate_finished_at = validate_made_at

    @property
    def given(self) -> dict[str, str]:
        """Return what takes the place of what was wrong."""
        times = {name: instant.text(_instant(self[name].data)) for name in TIMES if name in self}
        words = {name: self[name].data.strip() for name in ("unit", "by") if name in self}
        return words | times


@bp.route("/entering", methods=["GET", "POST"])
@may("supervisor")
def entering(id: str) -> Page:
    """Enter it after correction."""
    found, form = _found(id), EnteringForm()
    form.ask(found)
    if found.entered:
        return redirect(url_for("logbook.show", number=found.entered), code=303)
    if found.hindrance or not form.validate_on_submit() or not _entered(form, found):
        return _page("refused/entering.html", form, found)
    unit = found.corrected(form.given)["unit"]
    flash(say("It stands in the logbook of %(unit)s.", unit=unit))
    doubted = doubts.unsettled(g.db, unit, str(found.sent["id"]))
    return redirect(url_for("doubts.index" if doubted else "doubts.refusals"), code=303)


@bp.route("/note", methods=["GET", "POST"])
@may("supervisor")
def note(id: str) -> Page:
    """Say how it was dealt with, where it cannot be entered."""
    found, form = _found(id), NoteForm()
    form.ask(found)
    if not form.validate_on_submit():
        return _page("refused/note.html", form, found)
    unit = form.unit.data if form.unit else found.sent["unit"]
    said = [say("It was refused (%(why)s) and is dealt with.", why=why(found.row.why))]
    words = " ".join([*said, form.note.data.strip()])
    note_refused(g.db, found, unit, words, form.signer, clock.now())
    flash(say("It stands in the logbook of %(unit)s.", unit=unit))
    return redirect(url_for("doubts.refusals"), code=303)


def _found(id: str) -> Correctable:
    return correctable.of(g.db, refused.find(g.db, id) or abort(404))


def _entered(form: EnteringForm, found: Correctable) -> bool:
    """Say whether it stands in the logbook now; else the form says why not."""
    try:
        enter_refused(g.db, found, form.given, _words(form, found), form.signer, clock.now())
    except NotEntered as error:
        form.form_errors.append(why(str(error)))
        return False
    return True


def _words(form: EnteringForm, found: Correctable) -> str:
    """Return the supervisor's words: why it was refused, what they corrected, how they know."""
    said = [say("It was refused (%(why)s) and a supervisor entered it.", why=why(found.row.why))]
    for name, new in form.given.items():
        old = str(found.stood(name))[:100] if found.stood(name) is not None else "-"
        label = say(form[name].label.text)
        said.append(say("%(what)s: %(old)s corrected to %(new)s.", what=label, old=old, new=new))
    return " ".join([*said, form.note.data.strip()])


def _page(name: str, form: NoteForm, found: Correctable) -> Page:
    unit = "" if "unit" in found.asks else found.sent["unit"]
    shown = refusal(found.row)
    page = render_template(name, form=form, found=found, shown=shown, unit=unit)
    return page, 422 if form.is_submitted() else 200


def _instant(typed: datetime) -> int:
    """Return the instant of a time on the site's clock."""
    return first_instant(g.zone, typed.toordinal(), typed.hour * 60 + typed.minute)
