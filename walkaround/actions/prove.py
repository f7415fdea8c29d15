"""Note that somebody has just given their PIN again."""

from sqlalchemy.orm import Session

from walkaround.store import sessions
from walkaround.store.db import retried


@retried
def prove(db: Session, secret: str, now: int) -> str | None:
    """Return the session's new secret, for a copy of the old one must not gain by the proof."""
    made = sessions.renew(db, secret, now)
    db.commit()
    return made
