"""Measured numbers as rows."""

from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from tests import make
from tests.door import Door
from walkaround.actions.take_checklists import take_checklists
from walkaround.store import checklists, logbook
from walkaround.store.models import MeasureRow


def kept(db: Session) -> list[tuple[str, float, str | None]]:
    row = MeasureRow
    found = db.execute(select(row.item, row.value, row.measured_in).order_by(row.made_at))
    return [(item, value, unit) for item, value, unit in found]


def test_rows_hold_si_whatever_the_list_is_written_in(door: Door, tmp_path: Path):
    for path in make.LISTS.glob("*.yaml"):
        words = path.read_text().replace("in: kPa, low: 300, high: 380", "in: bar, low: 3")
        (tmp_path / path.name).write_text(words)
    door.walk(minutes=5)
    take_checklists(door.db, tmp_path, make.at(6))
    in_force = checklists.in_force(door.db, "wheel loader", "start_of_shift")
    assert in_force
    body = {**make.walkaround(pressure=3.4), "version": in_force.version}

    door.send("walkaround", body)

    both = [("pressure", 340, "kPa"), ("pressure", 340, "kPa")]
    assert kept(door.db) == both
    logbook.replay(door.db)
    assert kept(door.db) == both
