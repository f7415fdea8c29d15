"""Return a unit: a supervisor brings it back into the fleet."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import holds


class NoLayUp(Refusal):
    sentence = N_("%(unit)s has returned from this lay-up already. Nothing was entered.")


def return_unit(db: Session, unit: str, lay_up: str, note: str, signer: Signer, now: int) -> Result:
    """End exactly this lay-up; raise NoLayUp or NotEntered."""

    def check() -> None:
        row = holds.find(db, unit, lay_up, "lay_up")
        if row is None or row.ended_by:
            raise NoLayUp(unit=unit)

    body = {"lay_up": lay_up, "note": note.strip()}
    return make_entry(db, "return", unit, body, signer, now, check=check)
