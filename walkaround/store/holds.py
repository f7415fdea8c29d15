"""Finds holds and lay-ups."""

from sqlalchemy.orm import Session

from walkaround.store.db import site_of
from walkaround.store.models import HoldRow


def find(db: Session, unit: str, id: str, kind: str) -> HoldRow | None:
    """Return a hold or a lay-up (`lay_up`) of a unit, also one that was ended."""
    return db.get(HoldRow, (site_of(db), unit, id.lower(), kind))
