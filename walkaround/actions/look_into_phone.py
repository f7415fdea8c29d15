"""Note that a supervisor has asked about what a phone has not sent."""

from sqlalchemy.orm import Session

from walkaround.store import phones
from walkaround.store.db import retried


@retried
def look_into_phone(db: Session, phone_id: str, crew_number: str, now: int) -> None:
    """Ask nobody about it again until something new is lacking; raise UnknownPhone."""
    row = phones.by_id(db, phone_id)
    if row is None:
        raise phones.UnknownPhone(phone=phone_id)
    row.looked_at, row.looked_by = now, crew_number
    db.commit()
