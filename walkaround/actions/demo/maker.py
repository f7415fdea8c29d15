"""Makes entries as the phones of the site do, and sends them through the one door."""

import random
import uuid
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.actions.add_photo import add_photo
from walkaround.actions.demo.pictures import picture
from walkaround.actions.enter import Result, Sender, enter
from walkaround.rules import instant
from walkaround.store import photos, units
from walkaround.store.db import site_of
from walkaround.store.demo_site import DemoSite
from walkaround.store.models import DefectRow


class NotAsPlanned(Exception):
    """An entry of the invented site did not end as its description says: that is our mistake."""


@dataclass
class Maker:
    """What all entries are made with: the same seed makes the same entries, ids included."""

    db: Session
    store: photos.Store
    site: DemoSite
    chance: random.Random
    phones: tuple[str, ...] = ()
    _sent: Counter[str] = field(default_factory=Counter)

    def put(
        self,
        kind: str,
        unit: str,
        body: Mapping[str, Any],
        by: str,
        now: int,
        *,
        signed: bool = True,
        refused: bool = False,
    ) -> Result:
        """Enter it; raise NotAsPlanned where the door answers anything unforeseen."""
        sent = {"kind": kind, "unit": unit, "made_at": instant.text(now), "body": body}
        row = self._row(unit, by, now)
        result = enter(self.db, {**sent, **row}, Sender(by, proved=signed), now)
        if (result.result == "refused") != refused or (signed and not refused and result.why):
            raise NotAsPlanned(f"{unit} {sent['made_at']} {kind}: {result}")
        return result

    def id(self, now: int) -> str:
        """Return a UUIDv7 (RFC 9562) of an instant, its random bits out of the seed."""
        bits = now << 80 | 7 << 76 | self.chance.getrandbits(12) << 64
        return str(uuid.UUID(int=bits | 2 << 62 | self.chance.getrandbits(62)))

    def standing(self, unit: str, item: str) -> list[str]:
        """Return the ids of the defects that stand on an item of a unit, oldest first."""
        row = DefectRow
        here = select(row.id).where(row.site == site_of(self.db), row.unit == unit)
        line = here.where(row.item == item, row.state == "standing")
        return list(self.db.scalars(line.order_by(row.made_at, row.id)))

    def photo(self, words: str, by: str, now: int) -> str:
        """Take in a picture and return its name."""
        return add_photo(self.db, self.store, picture(words), by, now)

    def words(self, text: Mapping[str, str] | str, by: str) -> str:
        """Return words as somebody would write them, in their language."""
        if isinstance(text, str):
            return text
        return text.get(self.site.person(by).get("language", "en"), text["en"])

    def _row(self, unit: str, by: str, now: int) -> dict[str, Any]:
        """Return what tells an entry apart: its id, and its place in the row of a phone."""
        phone = self.phones[int(by) % len(self.phones)]
        self._sent[phone] += 1
        seen = self._seen(unit)
        return {"id": self.id(now), "device": phone, "n": self._sent[phone], "seen": seen}

    def _seen(self, unit: str) -> dict[str, Any] | None:
        row = units.find(self.db, unit)
        return {"seq": row.seq, "hash": row.hash} if row and row.seq else None
