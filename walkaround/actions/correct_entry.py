"""Correct an entry: words about an earlier one, which itself is never changed."""

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules.person import Person, may_correct
from walkaround.rules.refusal import N_, Refusal
from walkaround.store.models import EntryRow

# What takes back: a walk covers, a deferral lets run, the others state a number.
WITHDRAWN = frozenset({"walkaround", "defer", "hours", "meter_change", "service", "fill"})


class NotYours(Refusal):
    sentence = N_("Only whoever made this entry, or a supervisor, can correct it.")


class NothingToWithdraw(Refusal):
    sentence = N_("This entry covers nothing and states no number that could be withdrawn.")


def correct_entry(
    db: Session,
    entry: EntryRow,
    what: str,
    person: Person,
    signer: Signer,
    now: int,
    *,
    withdraws: bool,
) -> Result:
    """Add the words; raise NotYours, NothingToWithdraw or NotEntered. It never ends a defect."""
    if not may_correct(person.roles, person.crew_number, entry.by or ""):
        raise NotYours
    if withdraws and entry.kind not in WITHDRAWN:
        raise NothingToWithdraw
    body = {"entry": entry.id, "what": what.strip(), "withdraws": withdraws or None}
    return make_entry(db, "correction", entry.unit, body, signer, now)
