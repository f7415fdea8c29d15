"""Withdraw a deferral: from then on the defects that it covered tag the unit out again."""

from sqlalchemy.orm import Session

from walkaround.actions.correct_entry import correct_entry
from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer
from walkaround.rules.person import Person
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import entries


class NotThere(Refusal):
    sentence = N_("%(unit)s has no such entry in its logbook.")


def withdraw_deferral(
    db: Session, unit: str, deferral: str, why: str, person: Person, signer: Signer, now: int
) -> Result:
    """Take back what a deferral covers; raise NotThere, NotYours or NotEntered."""
    row = entries.find(db, deferral)
    if row is None or (row.unit, row.kind) != (unit, "defer"):
        raise NotThere(unit=unit)
    return correct_entry(db, row, why, person, signer, now, withdraws=True)
