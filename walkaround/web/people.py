"""The people of the site: who they are, what they may, when they leave."""

from datetime import date
from typing import Any

from flask import Blueprint, abort, current_app, flash, g, redirect, render_template, url_for
from werkzeug.wrappers import Response
from wtforms import DateField, PasswordField, SelectField, SelectMultipleField, StringField
from wtforms.validators import DataRequired, Optional, ValidationError

from walkaround import clock
from walkaround.actions.add_person import add_person
from walkaround.actions.person_leaves import person_leaves
from walkaround.actions.set_person import set_person
from walkaround.rules.person import (
    SUPERVISOR,
    BadCrewNumber,
    BadName,
    CrewNumberTaken,
    Person,
)
from walkaround.rules.pin import BadPin
from walkaround.rules.refusal import N_, Refusal
from walkaround.rules.zone import first_instant
from walkaround.store import people
from walkaround.store.keys import Keys
from walkaround.store.models import PersonRow
from walkaround.web import moments
from walkaround.web.guards import may
from walkaround.web.language import say
from walkaround.web.proof import ProofForm

ROLES = {
    "operator": N_("Operator"),
    "mechanic": N_("Mechanic"),
    "supervisor": N_("Supervisor"),
}
LANGUAGES = {"": N_("As their phone asks"), "en": "English", "es": "Español"}
LAST = N_("Somebody must stay supervisor: make another person one first.")
OTHER = N_("Choose from what stands here.")
FIELDS: tuple[tuple[type[Refusal], str], ...] = (
    (BadPin, "new_pin"),
    (BadName, "name"),
    (BadCrewNumber, "crew_number"),
    (CrewNumberTaken, "crew_number"),
)

Page = Response | tuple[str, int]

bp = Blueprint("people", __name__, url_prefix="/people")


class PersonForm(ProofForm):
    """What can be said of a person at any time."""

    name = StringField(N_("Name"), [DataRequired(N_("Give the name."))])
    roles = SelectMultipleField(
        N_("Roles"),
        [DataRequired(N_("Choose at least one role."))],
        choices=lambda: [(role, say(words)) for role, words in ROLES.items()],
        invalid_choice_message=OTHER,
    )
    language = SelectField(
        N_("Language"),
        choices=lambda: [(code, say(words)) for code, words in LANGUAGES.items()],
        invalid_choice_message=OTHER,
    )
    until = DateField(
        N_("Last day here"),
        [Optional()],
        invalid_value_message=N_("Give a date, or leave it empty."),
    )

    @property
    def end(self) -> int | None:
        """Return the end of the last day, on the site's clock."""
        day: date | None = self.until.data
        return None if day is None else first_instant(g.zone, day.toordinal() + 1, 0)

    def refuse(self, error: Refusal) -> None:
        """Show at its field why it was not taken."""
        name = next((name for kind, name in FIELDS if isinstance(error, kind)), "name")
        self[name].errors = [say(error.sentence, **error.data)]


class NewForm(PersonForm):
    """A new person."""

    crew_number = StringField(N_("Crew number"), [DataRequired(N_("Give the crew number."))])
    new_pin = PasswordField(N_("Their PIN"), [DataRequired(N_("Give a PIN of 4 to 12 digits."))])


class ChangeForm(PersonForm):
    """A person as they are to be from now on."""

    new_pin = PasswordField(N_("A new PIN for them"), [Optional()])

    number = ""

    def validate_roles(self, field: SelectMultipleField) -> None:
        """Keep one supervisor: without one nobody could add another."""
        if SUPERVISOR not in field.data and _is_last(self.number):
            raise ValidationError(LAST)


@bp.get("")
@may("supervisor")
def index() -> str:
    """Show everybody who is here, and who has left."""
    everybody = people.persons(g.db, clock.now())
    leaving = {row.crew_number: row.left_at for row in people.all(g.db)}
    return render_template(
        "people/index.html", everybody=everybody, leaving=leaving, roles=_roles, now=clock.now()
    )


@bp.route("/new", methods=["GET", "POST"])
@may("supervisor")
def new() -> Page:
    """Add somebody."""
    form = NewForm()
    if form.validate_on_submit():
        try:
            made = _added(form)
            return _done(say("%(name)s is here from now on.", name=made.name))
        except Refusal as error:
            form.refuse(error)
    return render_template("people/new.html", form=form), 422 if form.is_submitted() else 200


@bp.route("/<crew_number>/change", methods=["GET", "POST"])
@may("supervisor")
def change(crew_number: str) -> Page:
    """Change name, roles, PIN, language or last day."""
    row = people.find(g.db, crew_number) or abort(404)
    form = ChangeForm(data=_as_is(row))
    form.number = row.crew_number
    if form.validate_on_submit():
        try:
            made = set_person(g.db, _keys(), row.crew_number, clock.now(), **_changes(form, row))
            return _done(say("%(name)s was changed.", name=made.name))
        except Refusal as error:
            form.refuse(error)
    status = 422 if form.is_submitted() else 200
    return render_template("people/change.html", form=form, person=row), status


@bp.route("/<crew_number>/leaving", methods=["GET", "POST"])
@may("supervisor")
def leaving(crew_number: str) -> Page:
    """Let somebody leave."""
    row, form = people.find(g.db, crew_number) or abort(404), ProofForm()
    last = _is_last(row.crew_number)
    if form.validate_on_submit() and not last:
        made = person_leaves(g.db, row.crew_number, clock.now())
        return _done(say("%(name)s has left.", name=made.name))
    page = render_template("people/leaving.html", form=form, person=row, last=last)
    return page, 422 if form.is_submitted() else 200


def _added(form: NewForm) -> Person:
    return add_person(
        g.db,
        _keys(),
        form.crew_number.data,
        form.name.data,
        form.roles.data,
        form.new_pin.data,
        clock.now(),
        until=form.end,
        language=form.language.data or None,
    )


def _as_is(row: PersonRow) -> dict[str, Any]:
    """Return what the form shows before anything is changed."""
    roles = people.roles_at(g.db, row.crew_number, clock.now())
    return {
        "name": row.name,
        "roles": roles,
        "language": row.language or "",
        "until": _last_day(row),
    }


def _last_day(row: PersonRow) -> date | None:
    return moments.local(row.left_at - 1).date() if row.left_at is not None else None


def _changes(form: ChangeForm, row: PersonRow) -> dict[str, Any]:
    changes = {
        "name": form.name.data,
        "roles": form.roles.data,
        "pin": form.new_pin.data or None,
        "language": form.language.data,
    }
    if form.until.data == _last_day(row):
        return changes  # whoever left at ten this morning must not be back until midnight
    return {**changes, "until": form.end, "stays": form.end is None}


def _is_last(crew_number: str) -> bool:
    """Say whether somebody is the only supervisor who is here."""
    here = [one for one in people.persons(g.db, clock.now()) if one.active]
    return [one.crew_number for one in here if SUPERVISOR in one.roles] == [crew_number]


def _roles(person: Person) -> str:
    return ", ".join(say(ROLES[role]) for role in person.roles)


def _keys() -> Keys:
    keys: Keys = current_app.extensions["walkaround"].keys
    return keys


def _done(words: str) -> Response:
    flash(words)
    return redirect(url_for("people.index"), code=303)
