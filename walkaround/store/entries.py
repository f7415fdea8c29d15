"""Entries as they are stored, and as the rules take them."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules import instant
from walkaround.rules.body import Body
from walkaround.rules.entry import OTHER_CONTENT, Doubt, Entry
from walkaround.rules.lists import Lists
from walkaround.rules.trouble import correction, trouble
from walkaround.store import bodies
from walkaround.store.db import site_of
from walkaround.store.lists import lists
from walkaround.store.models import EntryRow, PersonRow, PhoneRow


@dataclass(frozen=True)
class Reader:
    """Turns stored entries into rules, knowing who left when and which phone came when."""

    lists: Lists
    enrolled: Mapping[str, int | None]
    left: Mapping[str, int | None]

    def entry(self, row: EntryRow) -> Entry:
        """Return one entry as the rules take it."""
        received_at, skew = instant.parse(row.received_at), correction(row.skew_ms)
        own = 0 if row.kind == "doubt" else skew  # the server's own clock made the doubt itself
        made_at = instant.moved(instant.parse(row.made_at), own)
        body = self._body(row, received_at, skew)
        return Entry(
            id=row.id,
            kind=row.kind,
            unit=row.unit,
            made_at=made_at,
            body=body,
            by=row.by,
            roles=tuple(json.loads(row.roles)),
            confirmed=row.signature == "confirmed",
            trouble=self.trouble(body, made_at, received_at, row.device, row.by),
            received_at=received_at,
            skew=own,
            seq=row.seq,
        )

    def trouble(
        self, body: Body, made_at: int, received_at: int, device: str | None, by: str | None
    ) -> frozenset[str]:
        """Return what is wrong with an entry, its PIN aside."""
        enrolled, left = self.enrolled.get(device or ""), self.left.get(by or "")
        return trouble(body, made_at, received_at, self.lists, enrolled, left)

    def _body(self, row: EntryRow, received_at: int, skew: int) -> Body:
        plain = json.loads(row.body)
        if row.kind == "doubt":
            contradicts = plain["why"] == OTHER_CONTENT
            other = _other(plain, received_at, skew) if contradicts else None
            return Doubt(plain["about"], plain["why"], other)
        if row.kind == "label":
            return Body()
        return bodies.read(row.kind, plain)


def reader(db: Session, makers: Iterable[tuple[str | None, str | None]] | None = None) -> Reader:
    """Return what reads the site's entries, or only those of some makers: (by, device)."""
    people, phones = (None, None) if makers is None else zip(*makers, strict=True)
    return Reader(
        lists(db),
        _instants(db, PhoneRow.id, PhoneRow.enrolled_at, phones),
        _instants(db, PersonRow.crew_number, PersonRow.left_at, people),
    )


def _instants(db: Session, name: Any, instant: Any, only: Iterable[str | None] | None) -> Any:
    """Return an instant of each phone or person; of these alone where a page needs no others."""
    query = select(name, instant).where(name.class_.site == site_of(db))
    if only is not None:
        wanted = sorted({one for one in only if one is not None})
        if not wanted:
            return {}
        query = query.where(name.in_(wanted))
    return dict([tuple(row) for row in db.execute(query)])


def find(db: Session, id: str) -> EntryRow | None:
    """Return the entry with that id, of whatever unit."""
    return db.get(EntryRow, (site_of(db), id))


def named(db: Session, ids: Iterable[str]) -> list[EntryRow]:
    """Return the entries with these ids, in the order of their logbooks."""
    query = select(EntryRow).where(EntryRow.site == site_of(db), EntryRow.id.in_(list(ids)))
    # To give them in order, SQLite would read the whole site's logbooks in order.
    return sorted(db.scalars(query), key=lambda row: (row.unit, row.seq))


def of_unit(db: Session, number: str, *, after: int = 0) -> list[EntryRow]:
    """Return a unit's entries, oldest first."""
    query = select(EntryRow).where(
        EntryRow.site == site_of(db), EntryRow.unit == number, EntryRow.seq > after
    )
    return list(db.scalars(query.order_by(EntryRow.seq)))


def members(row: EntryRow) -> dict[str, Any]:
    """Return an entry with all its members, as API and export give it."""
    return {**json.loads(row.text), "hash": row.hash}


def content(row: EntryRow) -> dict[str, Any]:
    """Return what its maker sent: what the same id must come with again."""
    return {
        "kind": row.kind,
        "unit": row.unit,
        "made_at": row.made_at,
        "body": json.loads(row.body),
    }


def _other(doubt: Mapping[str, Any], received_at: int, skew: int) -> Entry | None:
    """Return the content that a doubt speaks of, where it can be read."""
    other: Any = doubt.get("content")
    try:
        return Entry(
            id=doubt["about"],
            kind=other["kind"],
            unit=other["unit"],
            made_at=instant.moved(instant.parse(other["made_at"]), skew),
            body=bodies.read(other["kind"], other["body"]),
            confirmed=False,
            received_at=received_at,
            skew=skew,
        )
    except (bodies.Unreadable, ValueError, KeyError, TypeError):
        return None
