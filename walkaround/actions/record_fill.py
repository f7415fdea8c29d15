"""Record a fluid that was filled up."""

from dataclasses import asdict

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules.body import Fill


def record_fill(db: Session, unit: str, fill: Fill, signer: Signer, now: int) -> Result:
    """Keep the fill; a blend above the unit's limit opens a defect. Raise NotEntered."""
    said = {"insisted": fill.insisted or None, "to_full": fill.to_full or None}
    return make_entry(db, "fill", unit, asdict(fill) | said, signer, now)
