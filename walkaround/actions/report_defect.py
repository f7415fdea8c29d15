"""Report a defect that was found outside a walk-around."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry


@dataclass(frozen=True)
class Report:
    """What somebody has found."""

    unit: str
    what: str
    item: str | None = None
    critical: bool = False
    findings: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()


def report_defect(db: Session, report: Report, signer: Signer, now: int) -> Result:
    """Take it in once, however often it is posted; raise NotEntered or IdTaken."""
    body = {
        "item": report.item,
        "what": report.what,
        "critical": report.critical or None,
        "findings": list(report.findings),
        "photos": list(report.photos),
    }
    return make_entry(db, "defect", report.unit, body, signer, now)
