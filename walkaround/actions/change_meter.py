"""Change the hour meter: what the old one showed last and the new one first."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry


@dataclass(frozen=True)
class NewMeter:
    """The readings, in hours, and why it was changed."""

    old: float
    new: float
    note: str


def change_meter(db: Session, unit: str, meter: NewMeter, signer: Signer, now: int) -> Result:
    """Let the hours go on from the new meter; raise NotEntered."""
    body = {"old": meter.old, "new": meter.new, "note": meter.note.strip()}
    return make_entry(db, "meter_change", unit, body, signer, now)
