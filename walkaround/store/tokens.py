"""Find tokens, with which programs act as a person."""

from collections.abc import Sequence

from sqlalchemy import ColumnElement, or_, select, update
from sqlalchemy.orm import Session

from walkaround.rules.instant import MINUTE
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import people, secrets
from walkaround.store.db import site_of
from walkaround.store.models.people import PersonRow, TokenRow

PREFIX = "wk_"  # lets a token that leaked into a file be found


class UnknownToken(Refusal):
    sentence = N_("There is no such token here, or it was revoked before.")


def find(db: Session, text: str, now: int) -> TokenRow | None:
    """Return the token of this text, while it holds."""
    row = _one(db, TokenRow.token_hash == secrets.fingerprint(text))
    return row if row is not None and holds(row, now) else None


def person_of(db: Session, text: str, now: int) -> PersonRow | None:
    """Return as whom this text lets a program act, if as anybody."""
    row = find(db, text, now)
    person = None if row is None else people.find(db, row.crew_number)
    return person if person is not None and people.is_active(person, now) else None


def named(db: Session, name: str) -> TokenRow | None:
    """Return the token with this id or this text, whatever became of it."""
    return _one(db, or_(TokenRow.id == name, TokenRow.token_hash == secrets.fingerprint(name)))


def all(db: Session) -> Sequence[TokenRow]:
    """Return every token ever made, the newest first."""
    rows = select(TokenRow).where(TokenRow.site == site_of(db))
    return db.scalars(rows.order_by(TokenRow.created_at.desc(), TokenRow.id)).all()


def holds(row: TokenRow, now: int) -> bool:
    """Say whether a token was neither revoked nor has run out."""
    return row.revoked_at is None and (row.expires_at is None or now < row.expires_at)


def mark_used(row: TokenRow, now: int) -> None:
    """Note the use of a token; to the minute, so that a batch writes once."""
    if row.used_at is None or now - row.used_at >= MINUTE:
        row.used_at = now


def revoke_of_person(db: Session, crew_number: str, now: int) -> None:
    """Revoke all tokens of a person."""
    db.execute(
        update(TokenRow)
        .where(TokenRow.site == site_of(db), TokenRow.crew_number == crew_number)
        .where(TokenRow.revoked_at.is_(None))
        .values(revoked_at=now)
    )


def _one(db: Session, condition: ColumnElement[bool]) -> TokenRow | None:
    row = select(TokenRow).where(TokenRow.site == site_of(db), condition)
    return db.scalars(row.execution_options(populate_existing=True)).one_or_none()
