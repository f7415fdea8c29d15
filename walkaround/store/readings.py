"""Hour-meter readings."""

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from walkaround.store.db import site_of
from walkaround.store.models import MeterChangeRow, ReadingRow, UnitRow


def last_at(db: Session, unit: UnitRow) -> int:
    """Return when the hour meter was last read or changed, else when the unit joined the site."""
    found = [unit.made_at]
    for row in (ReadingRow, MeterChangeRow):
        query = select(func.max(row.made_at)).where(
            row.site == site_of(db), row.unit == unit.number, row.counts
        )
        found.append(db.scalar(query) or 0)
    return max(found)
