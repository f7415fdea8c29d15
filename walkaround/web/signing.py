"""Forms that make an entry: they carry its id, so that posting twice enters it once."""

from flask import g
from uuid_utils.compat import uuid7
from wtforms import HiddenField, ValidationError

from walkaround import clock
from walkaround.actions.make_entry import Signer
from walkaround.rules.body import is_uuid
from walkaround.rules.refusal import N_
from walkaround.web.carrying import CarriedForm
from walkaround.web.language import say
from walkaround.web.proof import ProofForm

OLD_PAGE = N_("This page cannot be used any more. Open it again.")
LONG = N_("This is too long: 2000 letters are taken at most.")


class EntryForm(CarriedForm):
    """A form whose entry is signed by whoever is signed in."""

    entry = HiddenField(default=lambda: str(uuid7(nanoseconds=clock.now() * 1_000_000)))

    def validate_entry(self, field: HiddenField) -> None:
        """Take only the id that the page was given."""
        if not is_uuid(field.data):
            raise ValidationError(say(OLD_PAGE))

    @property
    def signer(self) -> Signer:
        """Return who signs, on which phone, with the entry's id."""
        phone = g.phone.id if g.phone else None
        return Signer(g.person.crew_number, phone, str(self.entry.data).lower())


class SignedForm(EntryForm, ProofForm):
    """The same for what weighs much: with the PIN, where that was last given too long ago."""
