"""Make an entry on a page, signed by whoever is signed in there; what every such action shares."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from inspect import unwrap
from typing import Any

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result, Sender, enter
from walkaround.rules import instant
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import entries, units
from walkaround.store.db import retried

# Whoever tries again must also look again whether the form was posted before.
_enter_once = unwrap(enter)


class NotEntered(Refusal):
    sentence = N_("%(why)s")


class IdTaken(Refusal):
    sentence = N_("This form was used for something else already. Open the page again.")


@dataclass(frozen=True)
class Signer:
    """Who signs, on which phone; `entry` is the id that the page was given when it was opened."""

    crew_number: str
    phone: str | None
    entry: str


@retried
def make_entry(
    db: Session,
    kind: str,
    unit: str,
    body: Mapping[str, Any],
    signer: Signer,
    now: int,
    *,
    seen: Mapping[str, Any] | None = None,
    check: Callable[[], object] = lambda: None,
) -> Result:
    """Enter it once, however often the form is posted; raise NotEntered or IdTaken.

    `check` looks, while the unit is locked, whether it may be done; a form posted again needs none.
    """
    if _is_made(db, kind, unit, signer):
        return Result(signer.entry, "known")
    check()
    sent = {**_sent(body, signer, now), "kind": kind, "unit": unit, "seen": seen}
    result: Result = _enter_once(db, sent, Sender(signer.crew_number, proved=True), now)
    if result.result == "refused":
        raise NotEntered(why=result.why)
    return result


def _sent(body: Mapping[str, Any], signer: Signer, now: int) -> dict[str, Any]:
    """Return what the page itself gives an entry; members that say nothing are left out."""
    return {
        "id": signer.entry,
        "made_at": instant.text(now),
        "body": {name: value for name, value in body.items() if value not in (None, (), [], "")},
        "device": signer.phone,
    }


def _is_made(db: Session, kind: str, unit: str, signer: Signer) -> bool:
    """Say whether the form was posted before; the unit stays locked, for two may come at once."""
    units.locked(db, unit)
    before = entries.find(db, signer.entry)
    if before is None:
        return False
    if (before.by, before.kind, before.unit) != (signer.crew_number, kind, unit):
        raise IdTaken
    return True
