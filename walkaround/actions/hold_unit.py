"""Hold a unit: a supervisor takes it out of use for a reason of their own."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry


def hold_unit(db: Session, unit: str, reason: str, signer: Signer, now: int) -> Result:
    """Tag the unit out until it is released; raise NotEntered."""
    return make_entry(db, "hold", unit, {"reason": reason.strip()}, signer, now)
