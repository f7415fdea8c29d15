"""Enrol the browser that brings a code."""

from sqlalchemy import CursorResult, update
from sqlalchemy.orm import Session

from walkaround.store import phones, secrets
from walkaround.store.db import retried
from walkaround.store.models.people import PhoneRow


@retried
def enrol_phone(db: Session, code: str, now: int) -> tuple[str, str]:
    """Return the phone's id and the secret for its cookie; raise CodeOver."""
    row, secret = phones.waiting(db, code, now), secrets.make()
    used = (
        update(PhoneRow)
        .where(PhoneRow.site == row.site, PhoneRow.id == row.id)
        .where(PhoneRow.enrolled_at.is_(None), PhoneRow.shut_out_at.is_(None))
        .values(enrolled_at=now, seen_at=now, secret_hash=secrets.fingerprint(secret))
    )
    result = db.execute(used)
    # Two browsers with one link: the database lets one of them find the code unused.
    if not isinstance(result, CursorResult) or result.rowcount != 1:
        raise phones.CodeUsed
    db.commit()
    return row.id, secret
