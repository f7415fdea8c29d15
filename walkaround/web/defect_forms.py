"""The forms of the mechanic's pages."""

import re
from datetime import date, time
from typing import Any

from flask import g, request
from wtforms import (
    DateField,
    HiddenField,
    MultipleFileField,
    RadioField,
    StringField,
    TextAreaField,
    TimeField,
    ValidationError,
)
from wtforms.validators import AnyOf, DataRequired, InputRequired, Length, Optional

from walkaround.actions.clear_defect import ReadingLower, ReadingTooHigh
from walkaround.actions.defer_defect import HoursReached, Past, TooFarOn
from walkaround.rules.instant import SECOND
from walkaround.rules.refusal import N_, Refusal
from walkaround.rules.shape import is_uuid
from walkaround.rules.zone import first_instant
from walkaround.store import photos
from walkaround.web.amounts import amount
from walkaround.web.language import say
from walkaround.web.lines import picture
from walkaround.web.photos import take_in
from walkaround.web.signing import SignedForm

LONGEST = 5_000  # letters
NO_OUTCOME = N_("Say whether it was repaired or no fault was found.")
LAST_YEAR = 9000
NO_DATE = N_("Give a date.")
TOO_LONG = N_("This is too long: 5000 letters are taken at most.")
FIELDS = {
    TooFarOn: "until_date",
    Past: "until_date",
    HoursReached: "hours",
    ReadingLower: "hours",
    ReadingTooHigh: "hours",
}


def written(words: str) -> list[Any]:
    """Return what a field must hold that asks for words."""
    return [DataRequired(words), Length(max=LONGEST, message=TOO_LONG)]


class EntryForm(SignedForm):
    """A form that makes one entry about a line of defects."""

    @property
    def ids(self) -> tuple[str, ...]:
        """Return the defects that the reader saw."""
        return tuple(dict.fromkeys(filter(is_uuid, request.form.getlist("defect"))))

    def refuse(self, error: Refusal) -> None:
        """Show at its field why it was not taken."""
        sentence = say(error.sentence, **error.data)
        field = self._fields.get(FIELDS.get(type(error), ""))
        if field is None:
            self.form_errors.append(sentence)
        else:
            field.errors = [sentence]


class HoursForm(EntryForm):
    """A form with an hour-meter reading, or none."""

    hours = StringField(N_("Hour-meter reading"))

    def validate_hours(self, field: StringField) -> None:
        """Take a number, with a point or a comma, or nothing."""
        try:
            wrong = bool(field.data) and amount(field.data) < 0
        except ValueError:
            wrong = True
        if wrong:
            raise ValidationError(N_("Give the reading in figures, like 1234.5."))

    @property
    def value(self) -> float | None:
        """Return the reading."""
        return amount(self.hours.data) if self.hours.data else None


class ClearForm(HoursForm):
    """What was done about a line."""

    outcome = RadioField(
        choices=["repaired", "no_fault_found"],
        validators=[AnyOf(["repaired", "no_fault_found"], NO_OUTCOME)],
        validate_choice=False,
    )
    work = TextAreaField(N_("What was done"), written(N_("Write what was done.")))
    parts = StringField(N_("Parts"), [Length(max=LONGEST, message=TOO_LONG)])
    photos = MultipleFileField(N_("Photos"))

    names: tuple[str, ...] = ()

    @property
    def pictures(self) -> list[tuple[str, str]]:
        """Return the photos that are kept already, with their words."""
        return [(picture(name), say("After the work")) for name in self.names]

    def validate_photos(self, field: MultipleFileField) -> None:
        """Keep the photos, whatever else is wrong: nobody takes them twice."""
        self.names = _kept()
        try:
            taken = take_in(one for one in field.data or () if one and hasattr(one, "stream"))
        except Refusal as error:
            raise ValidationError(say(error.sentence, **error.data)) from error
        self.names = tuple(dict.fromkeys(self.names + taken))


class DeferForm(HoursForm):
    """Under which restrictions a line may wait, and until when."""

    restrictions = TextAreaField(
        N_("Restrictions: what the unit may not do meanwhile"),
        written(N_("Write the restrictions.")),
    )
    until_date = DateField(N_("Until the end of"), [InputRequired(NO_DATE)])
    until_time = TimeField(N_("Or, on that day, until"), [Optional()])
    hours = StringField(N_("Or until this hour-meter reading"))

    def validate_until_date(self, field: DateField) -> None:
        """Take a date that is one; years beyond all calendars are no plan."""
        if field.data is None or field.data.year > LAST_YEAR:
            field.errors.clear()
            raise ValidationError(NO_DATE)

    def validate_until_time(self, field: TimeField) -> None:
        """Take a time that is one, or none."""
        if field.errors:
            field.errors.clear()
            raise ValidationError(N_("Give a time like 14:30, or leave it empty."))

    @property
    def until(self) -> int:
        """Return the end: on the site's clock, and a day ends with its last second."""
        return end_of(self.until_date.data, self.until_time.data, g.zone)


class WithdrawForm(EntryForm):
    """Why a deferral is taken back."""

    why = TextAreaField(N_("Why"), written(N_("Write why.")))


class ConfirmForm(EntryForm):
    """Which entry is one's own."""

    confirmed = HiddenField()


def end_of(day: date, moment: time | None, zone: str) -> int:
    """Return the instant that a day, or a time on it, ends at."""
    if moment is not None:
        return first_instant(zone, day.toordinal(), moment.hour * 60 + moment.minute)
    return first_instant(zone, day.toordinal() + 1, 0) - SECOND


def _kept() -> tuple[str, ...]:
    """Return the photos that came with an earlier try."""
    names = [n for n in request.form.getlist("photo") if re.fullmatch(r"[0-9a-f]{64}", n)]
    return tuple(n for n in names if photos.may_see(g.db, n, g.person.crew_number))
