"""Finds doubts."""

from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.store.db import site_of
from walkaround.store.models import DoubtRow


def unsettled(db: Session, unit: str | None = None, about: str | None = None) -> Sequence[DoubtRow]:
    """Return the doubts that no supervisor has settled, oldest first."""
    row = DoubtRow
    query = select(row).where(row.site == site_of(db), row.settled_by.is_(None))
    if unit is not None:
        query = query.where(row.unit == unit)
    if about is not None:
        query = query.where(row.about == about.lower())
    return db.scalars(query.order_by(row.made_at, row.unit, row.id)).all()
