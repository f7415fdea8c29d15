"""A story told in every order in which its entries can arrive: one site, gone back at each fork."""

import json
import uuid
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from sqlalchemy import Connection, Engine, text
from sqlalchemy.orm import Session

from tests import make
from tests.door import MILAN, OLGA, SARA, Door, defect_id
from tests.naive import Naive
from walkaround.rules import instant
from walkaround.rules.instant import MINUTE
from walkaround.rules.verdict import Verdict
from walkaround.store import units

SHIFT = instant.text(make.DAWN)
FIRST = 250  # minutes after the shift's start: when the first entry arrives, one a minute follows
End = tuple[
    str, set[tuple[str, str]], str | None
]  # state, reasons with what they name, valid_until
# How far a phone's clock is behind, or none said: under two minutes it counts for nothing.
BEHIND = (0, 119_999, None, -60_000)


@dataclass(frozen=True)
class Made:
    """An entry on its phone; what it adds and ends is named `<entry>` or `<entry>/<item>`."""

    kind: str
    minutes: float
    body: dict[str, Any]
    by: str = OLGA
    adds: tuple[str, ...] = ()  # items, or "" for what has the entry's own id
    ends: tuple[str, ...] = ()
    than: tuple[str, ...] = ()
    proved: bool = True
    slow: int = 0  # minutes by which the phone's clock is behind


@dataclass(frozen=True)
class Story:
    """What is made, by name, and how it ends at some minutes after the shift's start."""

    made: Mapping[str, Made]
    ends: Mapping[float, End]

    def endings(self, name: str) -> Iterator[set[str]]:
        """Yield for all that an entry adds the names of the entries that may end it."""
        made = self.made[name]
        for item in made.adds:
            ended = {f"{name}/{item}" if item else name, *made.than}
            yield {n for n, other in self.made.items() if other.proved and ended & {*other.ends}}


def id_of(name: str) -> str:
    """Return the id of an entry, or of the defect that an item of it adds."""
    entry, _, item = name.partition("/")
    id = str(uuid.uuid5(uuid.NAMESPACE_OID, entry))
    return defect_id(id, item) if item else id


def walk(minutes: float, by: str = OLGA, *, slow: int = 0, **given: str | float) -> Made:
    """Return a walk-around that is clean but for the answers given."""
    body = make.walkaround(minutes - slow, more={"for_shift": SHIFT}, **given)
    return Made("walkaround", minutes, body, by, tuple(given), slow=slow)


def no_worse(minutes: float, item: str, than: str) -> Made:
    """Return a walk-around on which an item is said to be no worse than a defect."""
    body = make.walkaround(minutes, more={"for_shift": SHIFT}, **{item: None})
    body["answers"].append(make.answer(item, "no_worse", than=[id_of(than)]))
    return Made("walkaround", minutes, body, adds=(item,), than=(than,))


def report(minutes: float, by: str = OLGA) -> Made:
    """Return a defect that was found outside a walk-around."""
    return Made("defect", minutes, {"what": "smoke"}, by, adds=("",))


def clear(minutes: float, *defects: str, by: str = MILAN, slow: int = 0) -> Made:
    """Return a repair."""
    ids = [id_of(name) for name in defects]
    body = {"defects": ids, "outcome": "repaired", "work": "made good"}
    return Made("clear", minutes, body, by, ends=defects, slow=slow)


def defer(minutes: float, *defects: str, until: float) -> Made:
    """Return a deferral until so many minutes after the shift's start."""
    ids, end = [id_of(name) for name in defects], instant.text(make.at(until))
    body = {"defects": ids, "restrictions": "slowly", "until": end}
    return Made("defer", minutes, body, MILAN, ends=defects)


def hold(minutes: float) -> Made:
    """Return a supervisor's hold."""
    return Made("hold", minutes, {"reason": "audit"}, SARA, adds=("",))


def release(minutes: float, of: str, *, proved: bool = True) -> Made:
    """Return the end of a hold."""
    body = {"hold": id_of(of), "note": "over"}
    return Made("release", minutes, body, SARA, ends=(of,), proved=proved)


@dataclass
class Telling:
    """One story, told in every order; `reached` counts the orders that came to their end."""

    story: Story
    connection: Connection
    reached: int = 0

    def nodes(self, arrived: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Door]]:
        """Yield after each arrival in each order what has come so far, and the site then."""
        self.reached += len(arrived) == len(self.story.made)
        for name in self.story.made:
            if name not in arrived:
                fork = self.connection.begin_nested()
                with self._session() as db:
                    yield (*arrived, name), self._arrive(db, name, len(arrived))
                yield from self.nodes((*arrived, name))
                fork.rollback()

    def _arrive(self, db: Session, name: str, place: int) -> Door:
        made, door = self.story.made[name], Door(db, make.at(FIRST + place))
        sent = make.entry(made.kind, made.body, minutes=made.minutes - made.slow, id=id_of(name))
        unit = units.find(db, "L07")
        if place % 2 and unit:  # some have seen what stands, some say nothing of it
            sent["seen"] = {"seq": unit.seq, "hash": unit.hash}
        behind = made.slow * MINUTE or BEHIND[place % len(BEHIND)]
        sent_at = None if behind is None else door.now - behind
        assert door.post(sent, made.by, proved=made.proved, sent_at=sent_at).result == "accepted"
        return door

    def _session(self) -> Session:
        """Return a session whose commits the fork can take back."""
        mode, info = "create_savepoint", {"site": make.SITE}
        return Session(
            self.connection, info=info, expire_on_commit=False, join_transaction_mode=mode
        )

    def naive(self) -> Naive:
        """Return the unit for the other way of judging, out of bare SQL."""
        log = self._rows("select text from entry where unit = 'L07' order by seq")
        entries = [json.loads(entry) for (entry,) in log]
        return Naive(entries, *self._ground, "wheel loader", 84.0)

    @cached_property
    def _ground(self) -> tuple[list[dict[str, Any]], list[tuple[str, int, str]]]:
        """Return the versions of lists and the settings, which no story changes."""
        lists = [
            {"since": since, "until": until, "version": version, "content": json.loads(content)}
            for since, until, version, content in self._rows(
                "select since, until, version, content from checklist_version"
            )
        ]
        return lists, self._rows("select name, since, value from setting where about = ''")

    def _rows(self, query: str) -> list[Any]:
        return [tuple(row) for row in self.connection.execute(text(query))]


def told(verdict: Verdict, story: Story) -> End:
    """Return a verdict in the names of the story: each reason with each thing that it names."""
    names = {id_of(name): name for name in story.made}
    for name, made in story.made.items():
        names |= {id_of(f"{name}/{item}"): f"{name}/{item}" for item in made.adds if item}
    reasons = {
        (reason.code, names[id] if id else "")
        for reason in verdict.reasons
        for id in (reason.defects or [reason.hold or reason.about])
    }
    until = verdict.valid_until
    return verdict.state, reasons, None if until is None else instant.text(until)


@contextmanager
def telling(story: Story, engine: Engine) -> Iterator[Telling]:
    """Give a story its site; nothing of it stays there."""
    with engine.connect() as connection, connection.begin() as whole:
        yield Telling(story, connection)
        whole.rollback()
