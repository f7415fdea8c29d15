"""The PIN once more, in the same form, before what weighs much: two lines for whoever needs it.

Derive the form from `ProofForm`; put `{% include "parts/proof.html" %}` above its button.
"""

from flask import after_this_request, current_app, g, request
from werkzeug.wrappers import Response
from wtforms import PasswordField, ValidationError

from walkaround import clock
from walkaround.actions.check_pin import check_pin
from walkaround.actions.prove import prove
from walkaround.rules.refusal import N_
from walkaround.store import sessions
from walkaround.store.pins import TooBusy
from walkaround.web.carrying import CarriedForm
from walkaround.web.errors import SENTENCES
from walkaround.web.language import say
from walkaround.web.sign_in import keep

MISSING = N_("Give your PIN: this is signed with it, and the last time is over 5 minutes ago.")
WRONG = N_(
    "This is not your PIN, or there were too many tries. Wait a little and try again; "
    "if it goes on, ask a supervisor for a new PIN."
)


class ProofForm(CarriedForm):
    """Asks for the PIN where the last proof is too old; the right one counts at once."""

    pin = PasswordField("PIN")

    @property
    def asks_pin(self) -> bool:
        """Say whether the PIN must be given with this form."""
        return not (g.session and sessions.proved_within(g.session, clock.now()))

    def validate_pin(self, field: PasswordField) -> None:
        """Check the PIN, once, where it is asked for."""
        if not self.asks_pin:
            return
        if not field.data:
            raise ValidationError(say(MISSING))
        if not _is_right(field.data):
            raise ValidationError(say(WRONG))
        _renew()


def _is_right(pin: str) -> bool:
    keys, number = current_app.extensions["walkaround"].keys, g.person.crew_number
    phone = g.session.phone if g.session else None
    try:
        return check_pin(g.db, keys, number, pin, phone, clock.now(), request.remote_addr)
    except TooBusy as error:
        raise ValidationError(say(SENTENCES[429])) from error


def _renew() -> None:
    """Let the session count as proved from now on, under a new secret."""
    now = clock.now()
    secret = prove(g.db, g.session_secret, now)
    found = sessions.find(g.db, secret, now) if secret else None
    if secret is None or found is None:
        raise ValidationError(say(SENTENCES[401]))
    g.session, g.session_secret = found[0], secret

    @after_this_request
    def hand_out(response: Response) -> Response:
        keep(response, "session", secret)
        return response
