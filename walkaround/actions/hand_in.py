"""Hand in a finished walk-around, signed by the one who is signed in."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules import instant


@dataclass(frozen=True)
class Walk:
    """A walk-around as a page has gathered it; `answers` are as an entry holds them."""

    unit: str
    checklist: str
    version: str
    started_at: int
    answers: tuple[Mapping[str, Any], ...]
    for_shift: int | None = None
    hours: float | None = None
    insisted: bool = False
    looked_again: tuple[str, ...] = ()
    seen: Mapping[str, Any] | None = None


def hand_in(db: Session, walk: Walk, signer: Signer, now: int) -> Result:
    """Take it in once, however often it is posted; raise NotEntered or IdTaken."""
    body = {
        "checklist": walk.checklist,
        "version": walk.version,
        "started_at": instant.text(walk.started_at),
        "finished_at": instant.text(now),
        "for_shift": None if walk.for_shift is None else instant.text(walk.for_shift),
        "hours": walk.hours,
        "insisted": walk.insisted or None,
        "answers": list(walk.answers),
        "looked_again": list(walk.looked_again),
    }
    return make_entry(db, "walkaround", walk.unit, body, signer, now, seen=walk.seen)
