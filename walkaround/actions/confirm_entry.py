"""Confirm an entry of one's own that came in without a good signature."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.actions.withdraw_deferral import NotThere
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import entries


class NotYours(Refusal):
    sentence = N_("Only the one who made this entry can confirm it.")


def confirm_entry(db: Session, unit: str, entry: str, signer: Signer, now: int) -> Result:
    """Let it count as its maker's word; raise NotThere, NotYours or NotEntered."""
    row = entries.find(db, entry)
    if row is None or row.unit != unit:
        raise NotThere(unit=unit)
    if row.by != signer.crew_number:
        raise NotYours
    return make_entry(db, "confirm", unit, {"entry": entry}, signer, now)
