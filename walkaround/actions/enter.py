"""The one door into the logbook: whatever arrives is accepted, known or refused, and never lost."""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules import instant, person
from walkaround.rules.body import Confirm, Correction, Defer
from walkaround.rules.entry import OTHER_CONTENT
from walkaround.rules.trouble import correction
from walkaround.store import (
    bodies,
    entries,
    incoming,
    logbook,
    people,
    phone_gaps,
    refused,
    settings,
    units,
)
from walkaround.store.bodies import Unreadable, keepable
from walkaround.store.db import retried, site_of
from walkaround.store.incoming import Incoming
from walkaround.store.logbook import Draft
from walkaround.store.models import DefectRow, EntryRow, RefusedRow

DEFER_DAYS = 30
UNCONFIRMED = "Unconfirmed: what is bad in it counts, what is good does not, until it is confirmed."


@dataclass(frozen=True)
class Sender:
    """Whose entry it is, and whether they have shown that they are the one."""

    by: str
    proved: bool
    sent_at: int | None = None  # by the phone's clock; none where the server wrote it itself
    named: bool = True  # whether it says at all whose it is, as everything that is sent does


@dataclass(frozen=True)
class Result:
    """What became of an entry."""

    id: str
    result: str  # accepted, known or refused
    why: str | None = None
    defects: tuple[str, ...] = ()


class Refused(Exception):
    """It does not enter; the message says why, in words that somebody can act on."""


@retried
def enter(db: Session, sent: Mapping[str, Any], sender: Sender, now: int) -> Result:
    """Take in one entry, and keep what became of it."""
    result = weigh(db, sent, sender, now)
    phone_gaps.arrived(db, sent.get("device"), sent.get("n"), now)
    db.commit()
    return result


def weigh(db: Session, sent: Mapping[str, Any], sender: Sender, now: int) -> Result:
    """Take in one entry; an unknown unit, what is unreadable, a wrong role are refused, in turn.

    The caller commits, so that what belongs together enters together.
    """
    unit = sent.get("unit")
    known = units.locked(db, unit) if isinstance(unit, str) and unit == keepable(unit) else None
    sender = replace(sender, by=keepable(sender.by))
    try:
        if known is None:
            raise Refused(f"There is no unit {unit} here.")
        made = _read(db, sent, sender, now)
        _check_role(db, made, sender, now)
        before = entries.find(db, made.id)
        return _again(db, before, made, sender, now) if before else _accept(db, made, sender, now)
    except Unreadable as error:
        if known and incoming.raises_doubt(sent):
            _doubt(db, known.number, sent, f"could not be read: {error}", sender, now)
        return _set_aside(db, sent, sender, f"This could not be read: {error}.", now)
    except Refused as error:
        return _set_aside(db, sent, sender, str(error), now)


def _read(db: Session, sent: Mapping[str, Any], sender: Sender, now: int) -> Incoming:
    made = incoming.read(sent)
    if not sender.named:
        raise Unreadable("by: it does not say who made it")
    if isinstance(made.body, Defer) and not _is_known(entries.find(db, made.id), made):
        days = int(settings.at(db, "defer_days", now) or DEFER_DAYS)
        latest = made.made_at + correction(_skew(sender, now)) + days * instant.DAY
        if instant.parse(made.body.until) > latest:
            raise Unreadable(f"until: a defect can be deferred for {days} days at the most")
    return made


def _check_role(db: Session, made: Incoming, sender: Sender, now: int) -> None:
    roles = _roles(db, made, sender, now)
    if not person.may(roles, made.kind):
        raise Refused(f"{sender.by} may not enter this: {made.kind} is for other roles.")
    if isinstance(made.body, Confirm | Correction):
        target = entries.find(db, made.body.entry)
        others = target is not None and target.by != sender.by
        if others and (isinstance(made.body, Confirm) or person.SUPERVISOR not in roles):
            raise Refused("This speaks of somebody else's entry.")


def _again(db: Session, before: EntryRow, made: Incoming, sender: Sender, now: int) -> Result:
    """Take in an id that is there already: the same content is known, other content is a doubt."""
    if _is_known(before, made):
        confirmed = _confirm(db, before, made, sender, now)
        why = None if confirmed else UNCONFIRMED  # else a lost reply would hide a wrong PIN
        return Result(made.id, "known", why, _defects(db, before.unit, before.id))
    sent = {**made.content, "id": made.id}
    for unit in sorted({before.unit, made.unit}):
        _doubt(db, unit, sent, OTHER_CONTENT, sender, now)
    return _set_aside(db, sent, sender, "This id is in the logbook with other content.", now)


def _is_known(before: EntryRow | None, made: Incoming) -> bool:
    if before is None:
        return False
    return incoming.hash_of(entries.content(before)) == incoming.hash_of(made.content)


def _confirm(db: Session, before: EntryRow, made: Incoming, sender: Sender, now: int) -> bool:
    """Let the first signed copy of an unsigned entry confirm it; say whether it is confirmed."""
    id = str(uuid.uuid5(uuid.UUID(before.id), "confirm"))
    if before.signature == "confirmed" or entries.find(db, id):
        return True
    signed = _signature(db, made, sender, now) == "confirmed" and before.by == sender.by
    if signed:
        roles, text = people.roles_at(db, sender.by, now), instant.text(now)
        body = {"entry": before.id}
        logbook.append(db, Draft(id, "confirm", before.unit, text, body, sender.by, roles), now)
    return signed


def _accept(db: Session, made: Incoming, sender: Sender, now: int) -> Result:
    signature = _signature(db, made, sender, now)
    draft = Draft(
        id=made.id,
        kind=made.kind,
        unit=made.unit,
        made_at=made.content["made_at"],
        body=made.content["body"],
        by=sender.by,
        roles=_roles(db, made, sender, now),
        signature=signature,
        device=made.device,
        n=made.n,
        seen=made.seen,
        skew_ms=_skew(sender, now),
    )
    logbook.append(db, draft, now)
    why = _why(db, made, signature)
    return Result(made.id, "accepted", why, _defects(db, made.unit, made.id))


def _signature(db: Session, made: Incoming, sender: Sender, now: int) -> str:
    made_at = made.made_at + correction(_skew(sender, now))
    reader = entries.reader(db, [(sender.by, made.device)])
    trouble = reader.trouble(made.body, made_at, now, made.device, sender.by)
    signed = sender.proved and sender.by in reader.left and not trouble
    return "confirmed" if signed else "unconfirmed"


def _roles(db: Session, made: Incoming, sender: Sender, now: int) -> tuple[str, ...]:
    return people.roles_at(db, sender.by, made.made_at + correction(_skew(sender, now)))


def _skew(sender: Sender, now: int) -> int:
    return 0 if sender.sent_at is None else now - sender.sent_at


def _why(db: Session, made: Incoming, signature: str) -> str | None:
    """Say what an accepted entry does not do, if there is something."""
    if signature == "unconfirmed":
        return UNCONFIRMED
    if isinstance(made.body, Defer):
        row = DefectRow
        named = select(row.id).where(row.site == site_of(db), row.unit == made.unit, row.critical)
        if db.scalars(named.where(row.id.in_(made.body.defects))).first():
            return "A critical defect cannot be deferred: this deferral counts for nothing."
    return None


def _defects(db: Session, unit: str, entry: str) -> tuple[str, ...]:
    row = DefectRow
    query = select(row.id).where(row.site == site_of(db), row.unit == unit, row.entry == entry)
    return tuple(sorted(db.scalars(query)))  # in SQLite's order it would read the unit's other ones


def _doubt(
    db: Session, unit: str, sent: Mapping[str, Any], why: str, sender: Sender, now: int
) -> None:
    content, about = incoming.content_of(sent), incoming.about(sent)
    id = str(uuid.uuid5(uuid.UUID(about), f"{unit}:{incoming.hash_of(content)}"))
    while (there := entries.find(db, id)) and there.kind != "doubt":
        id = str(uuid.uuid5(uuid.UUID(id), "doubt"))  # somebody took the name beforehand
    if there is None:
        body = {"about": about, "why": why, "content": content}
        # The skew is that of what was sent: the content is weighed like an entry of its own.
        skew, text = _skew(sender, now), instant.text(now)
        logbook.append(db, Draft(id, "doubt", unit, text, body, skew_ms=skew), now)


def _set_aside(db: Session, sent: Mapping[str, Any], sender: Sender, why: str, now: int) -> Result:
    content, why = bodies.canonical(incoming.content_of(sent)), keepable(why)
    id, unit, kind = (
        keepable(sent[n]) if sent.get(n) is not None else None for n in ("id", "unit", "kind")
    )
    key = refused.id_of(id, sender.by, why, content)
    row = RefusedRow(site=site_of(db), id=key, entry=id, unit=unit, kind=kind, by=sender.by or None)
    row.received_at, row.skew_ms, row.why, row.content = now, _skew(sender, now), why, content
    refused.keep(db, row)
    return Result(id or "", "refused", why)
