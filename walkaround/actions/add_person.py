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
    db.rollback()
    with pins.turn():
        pin_hash = pins.hash_pin(keys, checked)
    here = {"site": site_of(db), "crew_number": number}
    row = PersonRow(
        **here, name=called, pin_hash=pin_hash, created_at=now, left_at=until, language=language
    )
    db.add_all([row, PersonRolesRow(**here, since=now, roles=held)])
    try:
        db.flush()
    except IntegrityError as error:  # somebody else took the number in this moment
        raise rules.CrewNumberTaken(crew_number=number) from error
    person = people.person(db, row, now)
    db.commit()
    return person
