"""Rebuild what follows from the entries."""

from sqlalchemy.orm import Session

from walkaround.store import logbook
from walkaround.store.db import retried


@retried
def replay_logbook(db: Session) -> int:
    """Return how many entries the tables follow from again."""
    count = logbook.replay(db)
    db.commit()
    return count
