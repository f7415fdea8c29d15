"""Find and make the tokens of labels."""

import secrets
import string

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from walkaround.rules.refusal import N_, Refusal
from walkaround.store.db import site_of
from walkaround.store.models.labels import LabelRow

# No sign that a phone may take for the end of an address, none that people mistake for another.
ALPHABET = "".join(sorted(set(string.ascii_letters + string.digits) - set("0OIl1")))
LENGTH = 22  # 57 ** 22 is more than 2 ** 128, the least that OWASP ASVS 11.5.1 asks for


class NoLabel(Refusal):
    sentence = N_("There is no unit %(unit)s here, or it has no label yet.")


def current(db: Session, unit: str) -> str:
    """Return the token that a unit's label carries now; raise NoLabel where there is none."""
    token = db.scalar(
        select(LabelRow.token).where(
            LabelRow.site == site_of(db), LabelRow.unit == unit, LabelRow.replaced_at.is_(None)
        )
    )
    if token is None:
        raise NoLabel(unit=unit)
    return token


def every(db: Session) -> dict[str, str]:
    """Return the token that each unit's label carries now."""
    row = LabelRow
    query = select(row.unit, row.token).where(row.site == site_of(db), row.replaced_at.is_(None))
    return {row.unit: row.token for row in db.execute(query)}


def find(db: Session, token: str) -> LabelRow | None:
    """Return the label with this token, also one that was replaced; None if there never was one."""
    return db.get(LabelRow, (site_of(db), token))


def make(db: Session, unit: str, now: int) -> str:
    """Give a unit a new token, from now on the only one in force, and return it."""
    # a statement of its own: the session would insert before it updates, and two would be in force
    db.execute(
        update(LabelRow)
        .where(LabelRow.site == site_of(db), LabelRow.unit == unit, LabelRow.replaced_at.is_(None))
        .values(replaced_at=now)
    )
    token = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
    db.add(LabelRow(site=site_of(db), token=token, unit=unit, made_at=now, replaced_at=None))
    db.flush()
    return token
