"""What people do with twenty phones while there is no signal, and what must follow from it."""

import hashlib
import random
import uuid
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from PIL import Image

from tests import make, pictures
from tests.door import MILAN, OLGA, SARA, defect_id
from walkaround.rules import instant
from walkaround.rules.instant import MINUTE, SECOND

HOLDERS = [OLGA] * 15 + [MILAN] * 3 + [SARA] * 2  # of twenty phones
EACH = 15  # entries from each
SOUND = ["L01", "L02", "L03", "L04"]  # whatever is found on these is ended as well
WORN = ["L05", "L06", "L07", "L08", "L09", "L10"]


@dataclass(frozen=True)
class Made:
    """One entry as it is sent, the photos that it names, and what it adds and ends."""

    entry: dict[str, Any]
    photos: tuple[str, ...] = ()
    adds: frozenset[str] = frozenset()
    ends: frozenset[str] = frozenset()

    @property
    def id(self) -> str:
        return str(self.entry["id"])

    @property
    def n(self) -> int:
        return int(self.entry["n"])

    @property
    def stops(self) -> bool:
        """Whether it tags its unit out: then it goes before what does not."""
        return bool(self.adds)


@dataclass
class Work:
    """What one person gathers on one phone, in the order in which they do it."""

    holder: str
    device: str
    shift: int
    now: int
    chance: random.Random
    made: list[Made] = field(default_factory=list)
    photos: dict[str, bytes] = field(default_factory=dict)

    def gather(self, place: int) -> None:
        """Do what the holder of this phone does."""
        if self.holder == OLGA:
            self._walk(SOUND[place % len(SOUND)])
        while len(self.made) < EACH:
            if len(self.made) == EACH - 1:
                self._read(self.chance.choice(SOUND))
            elif self.holder == OLGA:
                self._operate()
            elif self.holder == MILAN:
                self._find_and_mend()
            else:
                self._hold_and_release()

    def report(self, unit: str) -> Made:
        """Report a defect, with a photo."""
        id = self._new_id()
        body = {"what": "smoke"} | self._taken()
        return self._make("defect", unit, body, id=id, adds=frozenset({id}))

    def _operate(self) -> None:
        harmless, harmful = [self._walk, self._read, self._fill], [self._find, self.report]
        if self.chance.random() < 0.5:
            self.chance.choice(harmless)(self.chance.choice(SOUND + WORN))
        else:
            self.chance.choice(harmful)(self.chance.choice(WORN))

    def _find_and_mend(self) -> None:
        unit = self.chance.choice(SOUND)
        found = self.chance.choice([self._find, self.report])(unit)
        body = {"defects": sorted(found.adds), "outcome": "repaired", "work": "made good"}
        self._make("clear", unit, body, ends=found.adds)

    def _hold_and_release(self) -> None:
        unit = self.chance.choice(SOUND)
        id = self._new_id()
        self._make("hold", unit, {"reason": "audit"}, id=id, adds=frozenset({id}))
        self._make("release", unit, {"hold": id, "note": "over"}, ends=frozenset({id}))

    def _walk(self, unit: str) -> None:
        self._make("walkaround", unit, self._body())

    def _find(self, unit: str) -> Made:
        bad, id = self.chance.sample(["tyre", "seat", "horn"], 2), self._new_id()
        body = self._body()
        for answer in body["answers"]:
            if answer["item"] in bad:
                answer |= {"answer": "defect"} | (self._taken() if answer["item"] == bad[0] else {})
        adds = frozenset(defect_id(id, item) for item in bad)
        return self._make("walkaround", unit, body, id=id, adds=adds)

    def _read(self, unit: str) -> None:
        self._make("hours", unit, {"value": 84 + self.chance.randrange(50) / 10})

    def _fill(self, unit: str) -> None:
        litres = self.chance.randrange(10, 200)
        self._make("fill", unit, {"fluid": "diesel", "litres": litres, "to_full": True})

    def _make(self, kind: str, unit: str, body: dict[str, Any], id: str = "", **more: Any) -> Made:
        """Keep an entry; the last is made now, the others each a few seconds before the next."""
        n = len(self.made) + 1
        made_at = instant.text(self.now - (EACH - n) * 10 * SECOND)
        entry = {"id": id or self._new_id(), "kind": kind, "unit": unit, "made_at": made_at}
        entry |= {"body": body, "device": self.device, "n": n}
        parts = (body, *body.get("answers", ()))
        photos = tuple(name for part in parts for name in part.get("photos", ()))
        self.made.append(Made(entry, photos, **more))
        return self.made[-1]

    def _body(self) -> dict[str, Any]:
        """Return the body of a clean walk-around that ended two minutes before the last entry."""
        times = {"started_at": self.now - 9 * MINUTE, "finished_at": self.now - 2 * MINUTE}
        times["for_shift"] = self.shift
        return make.walkaround() | {name: instant.text(at) for name, at in times.items()}

    def _taken(self) -> dict[str, list[str]]:
        """Take a photo like no other: all noise, so that it is some kilobytes long."""
        noise = Image.frombytes("RGB", (96, 64), self.chance.randbytes(96 * 64 * 3))
        photo = pictures.written(noise)
        name = hashlib.sha256(photo).hexdigest()
        self.photos[name] = photo
        return {"photos": [name]}

    def _new_id(self) -> str:
        return str(uuid.UUID(int=self.chance.getrandbits(128), version=4))


def standing(all_made: Iterable[Made]) -> dict[str, set[str]]:
    """Return what stops each unit once all has arrived: what was added and not ended."""
    found: dict[str, set[str]] = {unit: set() for unit in SOUND + WORN}
    ended = {id for made in all_made for id in made.ends}
    for made in all_made:
        found[made.entry["unit"]] |= made.adds - ended
    return found
