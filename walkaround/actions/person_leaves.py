"""Let a person leave the site."""

from sqlalchemy.orm import Session

from walkaround.rules.person import Person, PersonLeft
from walkaround.store import people, sessions, tokens
from walkaround.store.db import retried


@retried
def person_leaves(db: Session, crew_number: str, now: int) -> Person:
    """Return the person, signed out and their tokens revoked; the number stays theirs."""
    row = people.require(db, crew_number)
    if not people.is_active(row, now):
        raise PersonLeft(crew_number=row.crew_number)
    row.left_at = now
    sessions.end_of_person(db, row.crew_number)
    tokens.revoke_of_person(db, row.crew_number, now)
    person = people.person(db, row, now)
    db.commit()
    return person
