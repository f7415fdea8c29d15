"""Add somebody to the site."""

from collections.abc import Iterable

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from walkaround.rules import person as rules
from walkaround.rules.person import Person
from walkaround.rules.pin import proper_pin
from walkaround.store import people, pins
from walkaround.store.db import retried, site_of
from walkaround.store.keys import Keys
from walkaround.store.models.people import PersonRolesRow, PersonRow


@retried
def add_person(
    db: Session,
    keys: Keys,
    crew_number: str,
    name: str,
    roles: Iterable[str],
    pin: str,
    now: int,
    *,
    until: int | None = None,
    language: str | None = None,
) -> Person:
    """Return the new person; raise the Refusal that says what does not fit."""
    number, called = rules.proper_crew_number(crew_number), rules.proper_name(name)
    held = " ".join(rules.proper_roles(roles))
    checked = proper_pin(pin, number)
    if people.is_taken(db, number):
        raise rules.CrewNumberTaken(crew_number=number)
    row = PersonRow(site=site_of(db), crew_number=number, name=called, created_at=now)
    row.left_at, row.language, row.pin_hash = until, language, _hashed(db, keys, checked)
    return _kept(db, row, held, now)


def _hashed(db: Session, keys: Keys, pin: str) -> str:
    db.rollback()  # nobody waits for the database while a PIN is hashed
    with pins.turn():
        return pins.hash_pin(keys, pin)


def _kept(db: Session, row: PersonRow, roles: str, now: int) -> Person:
    number = row.crew_number
    db.add_all([row, PersonRolesRow(site=row.site, crew_number=number, since=now, roles=roles)])
    try:
        db.flush()
    except IntegrityError as error:  # somebody else took the number in this moment
        raise rules.CrewNumberTaken(crew_number=number) from error
    person = people.person(db, row, now)
    db.commit()
    return person
