"""Check a PIN, at the sign-in or out of an entry, and count the try."""

from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy.orm import Session

from walkaround.store import attempts, people, phones, pins, tokens
from walkaround.store.attempts import Try
from walkaround.store.db import retried, site_of
from walkaround.store.keys import Keys
from walkaround.store.models.people import TokenRow

CHECKS_A_BATCH = 20
FILE = "file"  # the way of what somebody brings to the server itself, which is no phone's


@dataclass(frozen=True)
class _Taken:
    """A try that may go on: against which hash. None: it is to look the same and be wrong."""

    tried: Try
    pin_hash: str | None


def check_pin(
    db: Session,
    keys: Keys,
    crew_number: str,
    pin: str,
    phone_id: str | None,
    now: int,
    address: str | None = None,
) -> bool:
    """Say whether this is the PIN of somebody who is here; raise TooBusy.

    `phone_id` is the enrolled phone, or the token of a program, that it came through, or FILE;
    without one a PIN counts for nothing and against nobody. Wrong, unknown, left and slowed
    look the same.
    It commits, and rolls back what the caller has not committed.
    """
    db.rollback()  # nobody waits for the database while a PIN is hashed
    with pins.turn():
        taken = _take(db, crew_number, phone_id, now, address)
        if taken is None or not pins.matches(keys, taken.pin_hash, pin):
            return False
        outgrown = taken.pin_hash is not None and pins.outgrown(taken.pin_hash)
        _settle(db, taken, pins.hash_pin(keys, pin) if outgrown else None, now)
    return True


def check_pins(
    db: Session,
    keys: Keys,
    asked: Iterable[tuple[str, str]],
    phone_id: str | None,
    now: int,
    address: str | None = None,
) -> dict[tuple[str, str], bool]:
    """Check the numbers and PINs of one batch, each once; beyond twenty they count as wrong."""
    answers: dict[tuple[str, str], bool] = {}
    for place, pair in enumerate(dict.fromkeys(asked)):
        checked = place < CHECKS_A_BATCH
        answers[pair] = checked and check_pin(db, keys, *pair, phone_id, now, address)
    return answers


@retried
def _take(
    db: Session, crew_number: str, phone_id: str | None, now: int, address: str | None
) -> _Taken | None:
    """Count the try; return None where PINs do not exist."""
    if phone_id is None or not _is_trusted(db, phone_id, now):
        return None
    row = people.find(db, crew_number)
    known = row if row is not None and people.is_active(row, now) else None
    tried = Try(known.crew_number if known else None, phone_id, address)
    pin_hash = known.pin_hash if known else None
    in_time = attempts.take(db, tried, now)
    db.commit()
    return _Taken(tried, pin_hash if in_time else None)


@retried
def _settle(db: Session, taken: _Taken, new_hash: str | None, now: int) -> None:
    """Give the try back; keep a hash that was made anew with today's parameters."""
    attempts.give_back(db, taken.tried, now)
    row = people.find(db, taken.tried.crew_number or "")
    if new_hash is not None and row is not None and row.pin_hash == taken.pin_hash:
        row.pin_hash = new_hash
    db.commit()


def _is_trusted(db: Session, phone_id: str, now: int) -> bool:
    if phone_id == FILE:
        return True
    phone = phones.by_id(db, phone_id)
    if phone is not None:
        return phones.is_enrolled(phone)
    token = db.get(TokenRow, (site_of(db), phone_id))
    return token is not None and tokens.holds(token, now)
