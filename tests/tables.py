"""The tables that follow from the logbook, as plain rows that can be compared."""

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.store.fact_rows import FACTS
from walkaround.store.models import LinkRow, PhotoUseRow, UnitRow

Tables = dict[str, list[tuple[Any, ...]]]


def facts_in(db: Session) -> Tables:
    """Return every row of every table of facts, and what a unit keeps of them."""
    found = {}
    for table in (*FACTS, LinkRow, PhotoUseRow):
        rows = db.execute(select(*table.__table__.columns))
        found[table.__tablename__] = sorted(map(tuple, rows), key=repr)
    kept = select(UnitRow.number, UnitRow.seq, UnitRow.hash, UnitRow.standing, UnitRow.last_walk)
    found["unit"] = sorted(map(tuple, db.execute(kept)), key=repr)
    return found
