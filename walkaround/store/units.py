"""Finds units."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.store import snapshot
from walkaround.store.db import site_of
from walkaround.store.models import UnitRow


def find(db: Session, number: str) -> UnitRow | None:
    """Return the unit with that painted number; what cannot be painted is not even looked up."""
    return db.get(UnitRow, (site_of(db), number)) if number.isprintable() else None


def every(db: Session) -> list[UnitRow]:
    """Return all units of the site, by number."""
    query = select(UnitRow).where(UnitRow.site == site_of(db)).order_by(UnitRow.number)
    return list(db.scalars(query))


def locked(db: Session, number: str) -> UnitRow | None:
    """Return the unit, nobody else appending to its logbook until this transaction ends."""
    return snapshot.once(db, ("locked", number), lambda: _lock(db, number))


def _lock(db: Session, number: str) -> UnitRow | None:
    snapshot.forget(db)  # whoever had the unit before may have changed anything
    query = select(UnitRow).where(UnitRow.site == site_of(db), UnitRow.number == number)
    return db.scalars(query.with_for_update().execution_options(populate_existing=True)).first()
