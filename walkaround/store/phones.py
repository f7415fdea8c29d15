"""Find phones: by their cookie, by their code, and all of them."""

from collections.abc import Sequence

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from walkaround.rules.instant import MINUTE
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import secrets
from walkaround.store.db import site_of
from walkaround.store.models.people import PhoneRow

CODE_LASTS = 10 * MINUTE


class CodeOver(Refusal):
    """A code enrols nothing, for a reason that its subclasses name."""

    reason = ""


class CodeUnknown(CodeOver):
    reason = "unknown"
    sentence = N_("This link enrols no phone here. Ask a supervisor for a new one.")


class CodeUsed(CodeOver):
    reason = "used"
    sentence = N_("This link has enrolled a phone already. Ask a supervisor for a new one.")


class CodeExpired(CodeOver):
    reason = "expired"
    sentence = N_("This link is more than ten minutes old. Ask a supervisor for a new one.")


class UnknownPhone(Refusal):
    sentence = N_("There is no phone %(phone)s here.")


def find(db: Session, secret: str) -> PhoneRow | None:
    """Return the phone whose cookie this is, unless it was shut out."""
    row = _one(db, PhoneRow.secret_hash == secrets.fingerprint(secret))
    return row if row is not None and is_enrolled(row) else None


def by_id(db: Session, phone_id: str) -> PhoneRow | None:
    """Return a phone, whatever became of it."""
    return _one(db, PhoneRow.id == phone_id)


def waiting(db: Session, code: str, now: int) -> PhoneRow:
    """Return the phone that a code still enrols; raise CodeOver. It does not use the code up."""
    row = _one(db, PhoneRow.code_hash == secrets.fingerprint(code))
    if row is None or row.shut_out_at is not None:
        raise CodeUnknown
    if row.enrolled_at is not None:
        raise CodeUsed
    if now >= row.code_expires_at:
        raise CodeExpired
    return row


def all(db: Session) -> Sequence[PhoneRow]:
    """Return every phone that was enrolled, the newest first, with `seen_at`."""
    rows = select(PhoneRow).where(PhoneRow.site == site_of(db), PhoneRow.enrolled_at.is_not(None))
    return db.scalars(rows.order_by(PhoneRow.enrolled_at.desc(), PhoneRow.id)).all()


def count(db: Session) -> int:
    """Return how many phones were ever asked for."""
    rows = select(func.count()).select_from(PhoneRow).where(PhoneRow.site == site_of(db))
    return db.scalars(rows).one()


def is_enrolled(row: PhoneRow) -> bool:
    """Say whether PINs count on this phone."""
    return row.enrolled_at is not None and row.shut_out_at is None


def mark_seen(row: PhoneRow, now: int) -> None:
    """Note that a phone was heard from; to the minute, so that a batch writes once."""
    if row.seen_at is None or now - row.seen_at >= MINUTE:
        row.seen_at = now


def _one(db: Session, condition: ColumnElement[bool]) -> PhoneRow | None:
    row = select(PhoneRow).where(PhoneRow.site == site_of(db), condition)
    return db.scalars(row.execution_options(populate_existing=True)).one_or_none()
