"""Sign somebody in on an enrolled phone."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from walkaround.actions.check_pin import check_pin
from walkaround.rules.person import Person
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import people, phones, sessions
from walkaround.store.db import retried
from walkaround.store.keys import Keys


class NotSignedIn(Refusal):
    """One look for all reasons: whoever guesses learns nothing from it."""

    sentence = N_(
        "The crew number and the PIN do not fit together, or there were too many tries. "
        "Wait a little and try again; if it goes on, ask a supervisor for a new PIN."
    )


@dataclass(frozen=True)
class SignedIn:
    """What the cookie holds from now on, and who that is."""

    session_secret: str
    person: Person


def sign_in(
    db: Session,
    keys: Keys,
    phone_id: str | None,
    crew_number: str,
    pin: str,
    address: str | None,
    now: int,
    shift_end: int | None,
    *,
    previous: str | None = None,
) -> SignedIn:
    """Return a new session, in the place of the `previous` one; raise NotSignedIn or TooBusy.

    `shift_end` must be the end of a shift that the person will work in: within the early allowance
    that is the next one, or the session would end in the middle of the walk.
    """
    if phone_id is None or not check_pin(db, keys, crew_number, pin, phone_id, now, address):
        raise NotSignedIn
    return _start(db, phone_id, crew_number, now, shift_end, previous)


@retried
def _start(
    db: Session,
    phone_id: str,
    crew_number: str,
    now: int,
    shift_end: int | None,
    previous: str | None,
) -> SignedIn:
    row, phone = people.find(db, crew_number), phones.by_id(db, phone_id)
    if row is None or not people.is_active(row, now):
        raise NotSignedIn
    if phone is None or not phones.is_enrolled(phone):
        raise NotSignedIn
    if previous is not None:
        sessions.end(db, previous)
    sessions.sweep(db, now)
    secret = sessions.start(db, row.crew_number, phone.id, now, shift_end)
    phones.mark_seen(phone, now)
    person = people.person(db, row, now)
    db.commit()
    return SignedIn(secret, person)
