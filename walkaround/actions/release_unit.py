"""Release a unit: a supervisor ends one hold and gives the unit back."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import holds


class NoHold(Refusal):
    sentence = N_("This hold of %(unit)s was released already. Nothing was entered.")


def release_unit(db: Session, unit: str, hold: str, note: str, signer: Signer, now: int) -> Result:
    """End exactly this hold; raise NoHold or NotEntered."""

    def check() -> None:
        row = holds.find(db, unit, hold, "hold")
        if row is None or row.ended_by:
            raise NoHold(unit=unit)

    body = {"hold": hold, "note": note.strip()}
    return make_entry(db, "release", unit, body, signer, now, check=check)
