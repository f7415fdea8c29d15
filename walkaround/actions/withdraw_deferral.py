"""Withdraw a deferral: from then on the defects that it covered tag the unit out again."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules.person import Person, may_correct
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import entries


class NotThere(Refusal):
    sentence = N_("%(unit)s has no such entry in its logbook.")


class NotYours(Refusal):
    sentence = N_("Only the one who signed it, or a supervisor, can do this.")


def withdraw_deferral(
    db: Session, unit: str, deferral: str, why: str, person: Person, signer: Signer, now: int
) -> Result:
    """Take back what a deferral covers; raise NotThere, NotYours or NotEntered."""
    row = entries.find(db, deferral)
    if row is None or (row.unit, row.kind) != (unit, "defer"):
        raise NotThere(unit=unit)
    if not may_correct(person.roles, person.crew_number, row.by or ""):
        raise NotYours
    body = {"entry": deferral, "what": why.strip(), "withdraws": True}
    return make_entry(db, "correction", unit, body, signer, now)
