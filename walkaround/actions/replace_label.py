"""Replace the label of a unit, when it was lost, stolen or stuck over."""

from hashlib import sha256

from sqlalchemy.orm import Session

from walkaround.store import labels, units
from walkaround.store.db import retried
from walkaround.store.logbook import append_own


@retried
def replace_label(db: Session, unit: str, now: int, by: str | None) -> str:
    """Return the new token; the old one is out of date from now on. Raises labels.NoLabel."""
    units.locked(db, unit)  # before reading, or two at once would both replace the same label
    old = labels.current(db, unit)
    new = labels.make(db, unit, now)
    append_own(db, unit, "label", {"old": _digest(old), "new": _digest(new)}, now, by=by)
    db.commit()
    return new


def _digest(token: str) -> str:
    """Return what tells two tokens apart: the logbook is exported, and no token may leave in it."""
    return sha256(token.encode()).hexdigest()
