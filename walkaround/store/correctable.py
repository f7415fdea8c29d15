"""What of a refused entry a supervisor may correct: where it belongs, never what was found."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from walkaround.rules import instant, person
from walkaround.rules.trouble import correction
from walkaround.store import entries, incoming, people, refused, units
from walkaround.store.bodies import Unreadable
from walkaround.store.models import RefusedRow

# Why it cannot be entered, whatever is corrected.
UNREADABLE, ROLE, CONTRADICTS = "unreadable", "role", "contradicts"

WALKED = ("started_at", "finished_at")
TIMES = ("made_at", *WALKED)


@dataclass(frozen=True)
class Correctable:
    """A refused entry: as it was sent, what must be corrected, and what hinders it even then."""

    row: RefusedRow
    sent: Mapping[str, Any]
    asks: tuple[str, ...]  # unit, by, and which of the times
    hindrance: str | None
    entered: str | None  # the unit in whose logbook it stands by now

    def stood(self, name: str) -> Any:
        """Return what was sent in the place of something that is asked for."""
        if name == "by":
            return self.row.by
        return self.sent["body"].get(name) if name in WALKED else self.sent.get(name)

    def corrected(self, given: Mapping[str, str]) -> dict[str, Any]:
        """Return the entry with what was asked for; nothing else of it can be changed.

        Times are given on the server's clock; in the entry they stand on the phone's, as others do.
        """
        made, body = dict(self.sent), self.sent.get("body")
        given = {name: self._sent_as(name, words) for name, words in given.items()}
        made |= {name: given[name] for name in self.asks if name in ("unit", "made_at")}
        inside = {name: given[name] for name in self.asks if name in WALKED}
        return made | {"body": {**body, **inside}} if body and inside else made

    def _sent_as(self, name: str, words: str) -> str:
        if name not in TIMES:
            return words
        return instant.text(instant.moved(instant.parse(words), -correction(self.row.skew_ms)))


def of(db: Session, row: RefusedRow) -> Correctable:
    """Return what can be done about a refusal."""
    sent = {**json.loads(row.content), "id": row.entry}
    entered = refused.entered(db, [row]) and entries.find(db, row.entry or "")
    found = Correctable(row, sent, _asks(db, row, sent), None, entered.unit if entered else None)
    hindrance = None if entered else _hindrance(db, found)
    return Correctable(row, sent, found.asks, hindrance, found.entered)


def _asks(db: Session, row: RefusedRow, sent: Mapping[str, Any]) -> tuple[str, ...]:
    unit, body = sent.get("unit"), sent.get("body")
    asks = [] if isinstance(unit, str) and units.find(db, unit) else ["unit"]
    asks += [] if row.by else ["by"]
    asks += [] if _is_instant(sent.get("made_at")) else ["made_at"]
    if sent.get("kind") == "walkaround" and isinstance(body, dict):
        asks += [name for name in WALKED if not _is_instant(body.get(name))]
    return tuple(asks)


def _is_instant(value: Any) -> bool:
    try:
        instant.parse(value)
    except ValueError:
        return False
    return True


def _hindrance(db: Session, found: Correctable) -> str | None:
    """Return why it cannot be entered even with all right that may be corrected."""
    row = found.row
    if entries.find(db, (row.entry or "").lower()):
        return CONTRADICTS
    given = dict.fromkeys(found.asks, instant.text(row.received_at))  # whatever stands there
    try:
        made = incoming.read(found.corrected(given))
    except Unreadable:
        return UNREADABLE
    made_at = made.made_at + correction(row.skew_ms)
    roles = people.roles_at(db, row.by, made_at) if row.by else person.ROLES
    return None if person.may(roles, made.kind) else ROLE
