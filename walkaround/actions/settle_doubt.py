"""Settle a doubt: a supervisor has looked into what contradicts or could not be read."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import doubts


class NoDoubt(Refusal):
    sentence = N_("This doubt about %(unit)s was settled already. Nothing was entered.")


def settle_doubt(db: Session, unit: str, about: str, note: str, signer: Signer, now: int) -> Result:
    """End all doubts about one entry in this unit's logbook; raise NoDoubt or NotEntered."""

    def check() -> None:
        if not doubts.unsettled(db, unit, about):
            raise NoDoubt(unit=unit)

    body = {"about": about, "note": note.strip()}
    return make_entry(db, "settle", unit, body, signer, now, check=check)
