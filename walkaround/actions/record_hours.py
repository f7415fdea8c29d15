"""Record a reading of the hour meter."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry


def record_hours(
    db: Session, unit: str, value: float, signer: Signer, now: int, *, insisted: bool
) -> Result:
    """Keep the reading, doubtful where it was insisted on; raise NotEntered."""
    body = {"value": value, "insisted": insisted or None}
    return make_entry(db, "hours", unit, body, signer, now)
