"""When items of a unit were measured last."""

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from walkaround.rules.checklist import Checklist
from walkaround.store.db import site_of
from walkaround.store.models import MeasureRow


def last(db: Session, unit: str, checklist: Checklist) -> dict[str, tuple[int, ...]]:
    """Return the last measurement that counts of each item that is not asked for every time."""
    wanted = [item.name for item in checklist.items if item.measure and item.measure.every]
    row = MeasureRow
    query = select(row.item, func.max(row.made_at)).where(
        row.site == site_of(db), row.unit == unit, row.item.in_(wanted), row.counts
    )
    return {item: (at,) for item, at in db.execute(query.group_by(row.item))}
