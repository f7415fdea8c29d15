"""Take a token back."""

from sqlalchemy.orm import Session

from walkaround.store import tokens
from walkaround.store.db import retried


@retried
def revoke_token(db: Session, name: str, now: int) -> str:
    """Revoke a token by its id or its text and return its id; raise UnknownToken."""
    row = tokens.named(db, name)
    if row is None or row.revoked_at is not None:
        raise tokens.UnknownToken
    row.revoked_at = now
    db.commit()
    return row.id
