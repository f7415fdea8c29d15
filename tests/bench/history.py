"""What one unit went through: believable, the same in every run, and ending as a shift begins."""

import random
import uuid
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from tests.bench import walks
from walkaround.rules import instant
from walkaround.rules.shift import Shift
from walkaround.store.logbook import Draft

OPERATORS, MECHANIC, SUPERVISOR = ("101", "102", "103", "104", "105", "106"), "201", "301"
ROLES = {MECHANIC: ("mechanic",), SUPERVISOR: ("supervisor",)}
WEEKLY = {i.name for i in walks.CHECKLIST.items if i.measure and i.measure.every}
LOOKED_AT = [i for i in walks.CHECKLIST.items if not i.measure]
PATIENT = [i for i in LOOKED_AT if not i.critical]  # what a mechanic may defer
LATEST = 2  # the shifts that every history ends with, whatever lies before them


@dataclass
class History:
    """Writes one unit's drafts, oldest first; each with the instant it came in."""

    unit: str
    chance: random.Random
    hours: float = 100.0
    waiting: dict[str, list[str]] = field(default_factory=dict)  # deferred defects by item

    def shift(self, shift: Shift, *, weekly: bool) -> Iterator[tuple[Draft, int]]:
        """Yield what happened in a shift that left nothing open but what was deferred."""
        at = shift.start + self.chance.randrange(5, 50) * instant.MINUTE
        failing = self._failing()
        walk = self._walk(shift, at, failing, weekly=weekly)
        yield walk
        for item, answer in failing.items():
            id = str(uuid.uuid5(uuid.UUID(walk[0].id), item))
            if answer["answer"] == "no_worse":
                self.waiting[item].append(id)
            else:
                yield from self._mended(item, id, at + instant.HOUR)
        if self.waiting and self.chance.random() < 0.2:
            item, ids = self.waiting.popitem()
            yield self._clear(ids, at + 3 * instant.HOUR)
        if self.chance.random() < 0.01:
            yield from self._held(at + 4 * instant.HOUR)

    def close(self, at: int) -> Iterator[tuple[Draft, int]]:
        """Yield the end of what was deferred."""
        for ids in self.waiting.values():
            yield self._clear(ids, at)

    def latest(self, shifts: Sequence[Shift]) -> Iterator[tuple[Draft, int]]:
        """Yield the last shifts: some units end with a defect, a deferral or a hold."""
        fate = self.chance.random()
        for number, shift in enumerate(shifts):
            last, at = number == len(shifts) - 1, shift.start + 10 * instant.MINUTE
            items = self.chance.sample(PATIENT, 2) if last and fate < 0.12 else []
            walk = self._walk(shift, at, {i.name: _bad(i.name) for i in items}, weekly=not number)
            yield walk
            if items and fate < 0.06:
                ids = [str(uuid.uuid5(uuid.UUID(walk[0].id), item.name)) for item in items]
                yield self._defer(ids, at + 5 * instant.MINUTE)
        if fate > 0.98:
            yield self._draft("hold", {"reason": "Waiting for papers."}, at + 1, SUPERVISOR)

    def _failing(self) -> dict[str, dict[str, Any]]:
        found = {
            item: {"item": item, "answer": "no_worse", "than": list(ids)}
            for item, ids in self.waiting.items()
        }
        if self.chance.random() < 0.05:
            item = self.chance.choice(LOOKED_AT).name
            found.setdefault(item, _bad(item))
        return found

    def _mended(self, item: str, id: str, at: int) -> Iterator[tuple[Draft, int]]:
        if item in {one.name for one in PATIENT} and self.chance.random() < 0.3:
            yield self._defer([id], at)
            self.waiting[item] = [id]
        else:
            yield self._clear([id], at)

    def _walk(
        self, shift: Shift, at: int, given: dict[str, dict[str, Any]], *, weekly: bool
    ) -> tuple[Draft, int]:
        self.hours = round(self.hours + self.chance.uniform(4, 7), 1)
        body = walks.body(at, self.hours, **given)
        body["for_shift"] = instant.text(shift.start)
        left_out = set() if weekly else WEEKLY
        body["answers"] = [self._seen(a) for a in body["answers"] if a["item"] not in left_out]
        return self._draft("walkaround", body, at, self.chance.choice(OPERATORS))

    def _seen(self, answer: dict[str, Any]) -> dict[str, Any]:
        """Return an answer as people give them: levels differ, and now and then there are words."""
        if answer["item"].endswith("-level"):
            return {**answer, "value": self.chance.randrange(15, 100)}
        if answer.get("answer") == "in_order" and self.chance.random() < 0.001:
            return {**answer, "note": "Squeaks a little."}
        return answer

    def _clear(self, ids: list[str], at: int) -> tuple[Draft, int]:
        body = {"defects": ids, "outcome": "repaired", "work": "Tightened and tried."}
        return self._draft("clear", body, at, MECHANIC)

    def _defer(self, ids: list[str], at: int) -> tuple[Draft, int]:
        until = instant.text(at + 14 * instant.DAY)
        body = {"defects": ids, "restrictions": "Only on level ground.", "until": until}
        return self._draft("defer", body, at, MECHANIC)

    def _held(self, at: int) -> Iterator[tuple[Draft, int]]:
        hold = self._draft("hold", {"reason": "Its papers are looked at."}, at, SUPERVISOR)
        yield hold
        body = {"hold": hold[0].id, "note": "All there."}
        yield self._draft("release", body, at + instant.HOUR, SUPERVISOR)

    def _draft(self, kind: str, body: dict[str, Any], at: int, by: str) -> tuple[Draft, int]:
        id = str(uuid.UUID(int=self.chance.getrandbits(128), version=4))
        made_at, roles = instant.text(at), ROLES.get(by, ("operator",))
        return Draft(id, kind, self.unit, made_at, body, by, roles), at + 5 * instant.SECOND


def _bad(item: str) -> dict[str, Any]:
    return {"item": item, "answer": "defect", "note": "Not as it should be."}
