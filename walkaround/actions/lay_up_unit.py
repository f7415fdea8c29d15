"""Lay a unit up: a supervisor takes it out of the fleet for now."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry


def lay_up_unit(db: Session, unit: str, reason: str, signer: Signer, now: int) -> Result:
    """Lay it up until it returns; raise NotEntered."""
    return make_entry(db, "lay_up", unit, {"reason": reason.strip()}, signer, now)
