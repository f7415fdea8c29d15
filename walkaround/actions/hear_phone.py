"""Hear from a phone how many entries wait on it, what it keeps, and whether it lost that."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from walkaround.store import phone_gaps, phones
from walkaround.store.db import retried


@dataclass(frozen=True)
class Word:
    """What a phone says of itself."""

    waiting: int  # entries
    release: str | None  # of the pages that it keeps; None where it keeps none yet
    emptied: bool  # what it had kept is lost


@retried
def hear_phone(db: Session, phone_id: str, word: Word, now: int) -> int:
    """Return the highest number of that phone that is spoken for; raise UnknownPhone."""
    row = phones.by_id(db, phone_id)
    if row is None:
        raise phones.UnknownPhone(phone=phone_id)
    row.waiting, row.release, row.seen_at = word.waiting, word.release, now
    if word.emptied:
        phone_gaps.emptied(db, row, now)
    db.commit()
    return row.highest or 0
