"""Enter what was refused, after a supervisor has corrected where it belongs."""

from collections.abc import Mapping

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result, Sender, weigh
from walkaround.actions.make_entry import IdTaken, NotEntered, Signer
from walkaround.rules import instant
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import entries, units
from walkaround.store.correctable import Correctable
from walkaround.store.db import retried


class EnteredSince(Refusal):
    sentence = N_("It came again and stands in the logbook of %(unit)s. Nothing was entered.")


@retried
def enter_refused(
    db: Session, found: Correctable, given: Mapping[str, str], what: str, signer: Signer, now: int
) -> Result:
    """Enter it as its maker's, unproved, and beside it the supervisor's words on what was changed.

    Once, however often the form is posted; raise EnteredSince, NotEntered or IdTaken.
    """
    sent = found.corrected(given)
    units.locked(db, str(sent["unit"]))  # two may come at once
    if before := entries.find(db, str(sent["id"]).lower()):
        if entries.find(db, signer.entry) is None:
            raise EnteredSince(unit=before.unit)
        return Result(before.id, "known")
    result = weigh(db, sent, _maker(found, given, now), now)
    if result.result != "accepted":
        raise NotEntered(why=result.why)
    words = {
        "id": signer.entry,
        "kind": "correction",
        "unit": sent["unit"],
        "made_at": instant.text(now),
        "body": {"entry": result.id, "what": what},
        "device": signer.phone,
    }
    if weigh(db, words, Sender(signer.crew_number, proved=True), now).result != "accepted":
        raise IdTaken
    db.commit()
    return result


def _maker(found: Correctable, given: Mapping[str, str], now: int) -> Sender:
    """Return whose it is; whether they proved it is not kept: until they confirm, they had not."""
    return Sender(found.row.by or given["by"], proved=False, sent_at=now - found.row.skew_ms)
