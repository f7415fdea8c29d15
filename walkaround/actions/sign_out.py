"""End a session."""

from sqlalchemy.orm import Session

from walkaround.store import sessions
from walkaround.store.db import retried


@retried
def sign_out(db: Session, secret: str) -> None:
    """Take a session away, so that a copy of its cookie opens nothing."""
    sessions.end(db, secret)
    db.commit()
