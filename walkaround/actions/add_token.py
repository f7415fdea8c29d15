"""Make a token with which a program acts as a person."""

import uuid

from sqlalchemy.orm import Session

from walkaround.rules.person import PersonLeft
from walkaround.store import people, secrets, tokens
from walkaround.store.db import retried, site_of
from walkaround.store.models.people import TokenRow


@retried
def add_token(db: Session, crew_number: str, now: int, expires_at: int | None = None) -> str:
    """Return the token, which is shown this once; raise UnknownPerson or PersonLeft."""
    person = people.require(db, crew_number)
    if not people.is_active(person, now):
        raise PersonLeft(crew_number=person.crew_number)
    text = tokens.PREFIX + secrets.make()
    db.add(
        TokenRow(
            site=site_of(db),
            id=str(uuid.uuid4()),
            crew_number=person.crew_number,
            token_hash=secrets.fingerprint(text),
            created_at=now,
            expires_at=expires_at,
        )
    )
    db.commit()
    return text
