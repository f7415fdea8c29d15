"""Note that something refused, which cannot be entered, has been dealt with."""

from dataclasses import replace

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.store import incoming
from walkaround.store.correctable import Correctable


def note_refused(
    db: Session, found: Correctable, unit: str, what: str, signer: Signer, now: int
) -> Result:
    """Keep the supervisor's words in a unit's logbook, under the id of the refusal itself.

    No settling: one made beforehand would end doubts about that entry that are yet to come.
    Raise NotEntered or IdTaken.
    """
    body = {"entry": incoming.about(found.sent), "what": what}
    return make_entry(db, "correction", unit, body, replace(signer, entry=found.row.id), now)
