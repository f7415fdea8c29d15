"""A number that changes whenever something on the board does."""

import hashlib
from collections.abc import Sequence

from sqlalchemy.orm import Session

from walkaround.store import refused, settings
from walkaround.store.standings import Standing


def revision(db: Session, standings: Sequence[Standing]) -> int:
    """Return the number: of logbooks, verdicts, and what was refused; below 2^53."""
    seen = [
        (one.unit.number, one.unit.title, one.unit.machine, one.unit.seq, one.verdict)
        for one in standings
    ]
    text = repr((seen, refused.count_waiting(db), settings.units(db)))
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:6])
