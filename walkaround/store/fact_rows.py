"""Facts of the rules as rows, and rows as facts."""

import json
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from sqlalchemy.orm import InstrumentedAttribute

from walkaround.rules.answer import Failure
from walkaround.rules.coverage import Walk
from walkaround.rules.defect import Defect, Deferral
from walkaround.rules.facts import Gathered
from walkaround.rules.verdict import Doubt, Hold
from walkaround.store.models import (
    Base,
    DefectRow,
    DoubtRow,
    HoldRow,
    MeasureRow,
    MeterChangeRow,
    ReadingRow,
    RemarkRow,
    WalkRow,
)

# Each table of facts, and the column that says of which entry a row is.
FACTS: dict[Any, InstrumentedAttribute[str]] = {
    DefectRow: DefectRow.entry,
    HoldRow: HoldRow.id,
    DoubtRow: DoubtRow.id,
    WalkRow: WalkRow.entry,
    ReadingRow: ReadingRow.entry,
    MeterChangeRow: MeterChangeRow.entry,
    MeasureRow: MeasureRow.entry,
    RemarkRow: RemarkRow.entry,
}


def rows_of(gathered: Gathered, site: str, unit: str) -> Iterator[Base]:
    """Yield a row for each fact."""
    here = {"site": site, "unit": unit}
    for defect in gathered.defects:
        yield _defect_row(defect, here)
    for walk in gathered.walks:
        yield WalkRow(**here, **{**asdict(walk), "missing": json.dumps(walk.missing)})
    for table, facts in (
        (HoldRow, gathered.holds),
        (DoubtRow, gathered.doubts),
        (ReadingRow, gathered.readings),
        (MeterChangeRow, gathered.changes),
        (MeasureRow, gathered.measured),
        (RemarkRow, gathered.remarks),
    ):
        for fact in facts:
            yield table(**here, **asdict(fact))


def defect_of(row: DefectRow) -> Defect:
    """Return a defect out of its row."""
    words = json.loads(row.words)
    deferral = json.loads(row.deferral) if row.deferral else None
    return Defect(
        id=row.id,
        entry=row.entry,
        by=row.by,
        made_at=row.made_at,
        failure=Failure(**_tuples(words)),
        checklist=row.checklist,
        version=row.version,
        critical=row.critical,
        ended=tuple(json.loads(row.ended)),
        cleared_at=row.cleared_at,
        looked=row.state != "look",
        asked_at=row.asked_at,
        deferral=Deferral(**_tuples(deferral)) if deferral else None,
    )


def walk_of(row: WalkRow) -> Walk:
    """Return a walk-around out of its row."""
    return Walk(
        entry=row.entry,
        by=row.by,
        made_at=row.made_at,
        started_at=row.started_at,
        for_shift=row.for_shift,
        checklist=row.checklist,
        version=row.version,
        standing=row.standing,
        missing=tuple(json.loads(row.missing)),
        failed=row.failed,
    )


def hold_of(row: HoldRow) -> Hold:
    """Return a hold or a lay-up out of its row."""
    return Hold(row.id, row.kind, row.by, row.made_at, row.reason, row.ended_by)


def doubt_of(row: DoubtRow) -> Doubt:
    """Return a doubt out of its row."""
    return Doubt(row.id, row.about, row.why, row.made_at, row.settled_by)


def _defect_row(defect: Defect, here: dict[str, str]) -> DefectRow:
    state = "cleared" if defect.looked else "look"
    return DefectRow(
        **here,
        id=defect.id,
        entry=defect.entry,
        by=defect.by,
        made_at=defect.made_at,
        item=defect.failure.item,
        checklist=defect.checklist,
        version=defect.version,
        critical=defect.critical,
        words=json.dumps(asdict(defect.failure), ensure_ascii=False),
        state=state if defect.ended else "standing",
        cleared_by=defect.ended[0] if defect.ended else None,
        cleared_at=defect.cleared_at,
        asked_at=defect.asked_at,
        ended=json.dumps(defect.ended),
        deferral=json.dumps(asdict(defect.deferral)) if defect.deferral else None,
    )


def _tuples(plain: dict[str, Any]) -> dict[str, Any]:
    return {name: tuple(v) if isinstance(v, list) else v for name, v in plain.items()}
