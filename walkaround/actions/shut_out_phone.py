"""Shut a phone out."""

from sqlalchemy.orm import Session

from walkaround.store import phones, sessions
from walkaround.store.db import retried


@retried
def shut_out_phone(db: Session, phone_id: str, now: int) -> None:
    """End whatever a phone may do, at once and for good; raise UnknownPhone. Twice is no fault."""
    row = phones.by_id(db, phone_id)
    if row is None:
        raise phones.UnknownPhone(phone=phone_id)
    if row.shut_out_at is None:
        row.shut_out_at = now
    sessions.end_of_phone(db, row.id)
    db.commit()
