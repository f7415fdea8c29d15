"""A made-up history of a site, step by step: what its people send and what the site changes."""

import json
import random
import sqlite3
import tempfile
import uuid
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, text

from tests import make
from tests.door import MILAN, OLGA, SARA, Door, defect_id
from tests.naive import Naive
from tests.site import open_up
from walkaround.actions.set_site import set_site
from walkaround.actions.take_checklists import take_checklists
from walkaround.rules import instant
from walkaround.rules.instant import MINUTE
from walkaround.store.db import make_engine, make_session

UNITS = {"L07": ("wheel loader", 84.0), "D02": ("dozer", None)}
AGO = (0, 1, 2, 5, 10, 30, 60, 300, 480, 500, 1500, -3, -10)  # minutes; some in the future
SKEWS = (None, None, None, 0, 119_999, 120_000, -120_000, 3_600_000, -3_600_000)
FAULTS: tuple[dict[str, Any], ...] = (
    {}, {}, {}, {"seat": "defect"}, {"tyre": "defect"}, {"horn": "not_fitted"},
    {"pressure": 290.0}, {"pressure": 250.0}, {"pressure": 390.0}, {"seat": None},
    {"pressure": None}, {"pressure": "could_not_check"}, {"bonnet": "in_order"},
)  # fmt: skip
SHIFTS = ("06:00,14:00,22:00", "07:00,19:00", "06:00-16:00")
CLOCK_CHANGE = instant.parse("2027-03-27T20:00:00Z")  # IANA tzdata, rule EU: 28 March, 01:00 UTC


@cache
def opened() -> bytes:
    """Return the file of the site that every history starts from."""
    engine = make_engine("sqlite://")
    open_up(engine)
    return connection(engine).serialize()


def connection(engine: Engine) -> sqlite3.Connection:
    with engine.connect() as held:
        driver = held.connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        return driver


def in_memory() -> Engine:
    """Return a site of its own, in memory."""
    engine = make_engine("sqlite://")
    connection(engine).deserialize(opened())
    return engine


@cache
def changed_lists(place: int) -> Path:
    """Return a folder with another version of the loader's list."""
    folder = Path(tempfile.mkdtemp(prefix="walkaround-lists-"))
    changes = [
        ("      - item: horn\n", "      - item: horn\n        critical: true\n"),
        ("every: 7 d", "every: 1 d"),
        ("guide_minutes: 2", "valid_for: 10 h"),
        ("low: 300", "low: 320"),
    ][place]
    for path in make.LISTS.glob("*.yaml"):
        words = path.read_text()
        (folder / path.name).write_text(words.replace(*changes, 1))
    return folder


class History:
    """One site as it goes on; `chance` decides what a step leaves open."""

    def __init__(self, engine: Engine | None = None) -> None:
        self.engine = engine or in_memory()
        self.door = Door(make_session(self.engine, make.SITE))
        self.sent: list[tuple[dict[str, Any], str, bool, int | None]] = []
        self.waiting: list[tuple[dict[str, Any], str, bool, int | None]] = []
        self.ids: dict[str, list[str]] = {}  # of entries, by kind, also of those that still wait
        self.defects: list[str] = []
        self.settings: dict[str, str] = {}
        self.folder = make.LISTS
        self._logs: dict[str, list[dict[str, Any]]] = {unit: [] for unit in UNITS}

    def close(self) -> None:
        self.door.db.close()
        self.engine.dispose()

    # --- what people send

    def send(
        self, kind: str, body: dict[str, Any], by: str, chance: random.Random, unit: str, ago: int
    ) -> None:
        """Make an entry; some stay on their phone for a while."""
        made_at = instant.text(self.door.now - ago * MINUTE)
        sent = {"id": str(uuid.UUID(int=chance.getrandbits(128), version=4)), "kind": kind}
        sent |= {"unit": unit, "made_at": made_at, "body": body}
        self.ids.setdefault(kind, []).append(sent["id"])
        if kind == "defect":
            self.defects.append(sent["id"])
        self.defects += [defect_id(sent["id"], a["item"]) for a in body.get("answers", ())]
        made = (sent, by, chance.random() < 0.85, chance.choice(SKEWS))
        if chance.random() < 0.15:
            self.waiting.append(made)
        else:
            self.deliver(made)

    def deliver(self, made: tuple[dict[str, Any], str, bool, int | None]) -> str:
        """Let an entry arrive now."""
        sent, by, proved, skew = made
        self.sent.append(made)
        sent_at = None if skew is None else self.door.now - skew
        return self.door.post(sent, by, proved=proved, sent_at=sent_at).result

    def tidy_up(self, unit: str, chance: random.Random) -> None:
        """End everything that stands on a unit, let some of it be deferred, and walk round it."""
        reasons = self.door.verdict(unit).reasons
        named = {id for r in reasons for id in r.defects if r.code != "second_look"}
        ends = [("release", SARA, {"hold": r.hold, "note": "n"}) for r in reasons if r.hold]
        ends += [("return", SARA, {"lay_up": r.lay_up, "note": "n"}) for r in reasons if r.lay_up]
        doubts = [r.about for r in reasons if r.code == "doubt"]
        ends += [("settle", SARA, {"about": about, "note": "n"}) for about in doubts]
        kept = {id for id in named if chance.random() < 0.3} - self._critical()
        until = instant.text(self.door.now + chance.choice([100, 3000]) * MINUTE)
        defer, work = {"restrictions": "r", "until": until}, {"outcome": "repaired", "work": "w"}
        ends += [("defer", MILAN, {"defects": sorted(kept), **defer})] if kept else []
        ends += (
            [("clear", MILAN, {"defects": sorted(named - kept), **work})] if named - kept else []
        )
        for kind, by, body in ends:
            self.deliver((make.entry(kind, body, unit=unit) | self._now(), by, True, None))
        if chance.random() < 0.5:
            return
        name = "loader-start" if unit == "L07" else "any-start"
        walk = make.walkaround(0) | {"checklist": name, **self._clean(name, chance)}
        walk["looked_again"] = [r.about for r in reasons if r.code == "second_look"]
        self.deliver((make.entry("walkaround", walk, unit=unit) | self._now(), OLGA, True, None))

    def _critical(self) -> set[str]:
        return {id for (id,) in self.door.db.execute(text("select id from defect where critical"))}

    def _now(self) -> dict[str, str]:
        return {"made_at": instant.text(self.door.now)}

    def _clean(self, name: str, chance: random.Random) -> dict[str, Any]:
        content, now = self.content(name, random.Random(0)), instant.text(self.door.now)
        good = make.GOOD if name == "loader-start" else dict.fromkeys(content["items"], "in_order")
        answers = [make.answer(item, given) for item, given in good.items()]
        times = {"started_at": now, "finished_at": now}
        return {"version": content["version"], "answers": answers, **times}

    def walk(self, by: str, unit: str, chance: random.Random, ago: int) -> None:
        """Send a walk-around, good or bad, by the right list or a wrong one."""
        fault, name = dict(chance.choice(FAULTS)), "loader-start" if unit == "L07" else "any-start"
        name = chance.choice([name] * 8 + ["loader-start", "any-start", "loader-end"])
        content = self.content(name, chance)
        body = make.walkaround(0) | {"checklist": name, "version": content["version"]}
        begun = chance.choice([8, 8, 8, 8, 1, 90, -1])
        made = self.door.now - ago * MINUTE
        body |= {
            "started_at": instant.text(made - begun * MINUTE),
            "finished_at": instant.text(made),
        }
        good = make.GOOD if name == "loader-start" else dict.fromkeys(content["items"], "in_order")
        answers = {**good, **{i: a for i, a in fault.items() if name == "loader-start"}}
        body["answers"] = [make.answer(i, a) for i, a in answers.items() if a is not None]
        self._claim(body, chance)
        if chance.random() < 0.4:
            body["for_shift"] = instant.text(
                self.shift_near(made + chance.choice([0, 60]) * MINUTE)
            )
        if chance.random() < 0.2:
            body["hours"] = float(84 + chance.randrange(60))
        self.send("walkaround", body, by, chance, unit, ago)

    def _claim(self, body: dict[str, Any], chance: random.Random) -> None:
        """Say of some answer that it is no worse, or answer twice, or look at a repair again."""
        what = chance.random()
        if what < 0.2 and self.defects:
            than = chance.sample(self.defects, min(len(self.defects), 4))
            item = chance.choice(["seat", "pressure"])
            given: Any = "no_worse" if item == "seat" else chance.choice([290.0, 295.0, 391.0])
            body["answers"] = [a for a in body["answers"] if a["item"] != item]
            body["answers"].append(make.answer(item, given, than=than))
        elif what < 0.25:
            body["answers"].append(make.answer("seat", "defect"))
        elif what < 0.45 and self.ids.get("clear"):
            body["looked_again"] = self.ids["clear"][-3:]

    def content(self, name: str, chance: random.Random) -> dict[str, Any]:
        """Return version and items of one of a list's versions, or of one that nobody has had."""
        rows = [v for v in self.lists() if v["content"]["checklist"] == name]
        row = chance.choice([rows[-1]] * 3 + rows)
        items = [i["item"] for s in row["content"]["stations"] for i in s["items"]]
        version = row["version"] if chance.random() < 0.95 else "0" * 64
        return {"version": version, "items": items}

    def shift_near(self, at: int) -> int:
        """Return the start of the shift of an instant by the first shifts of the site."""
        eight = 8 * 60 * MINUTE
        return make.DAWN + (at - make.DAWN) // eight * eight

    # --- what is checked

    def lists(self) -> list[dict[str, Any]]:
        rows = self.door.db.execute(
            text("select since, until, version, content from checklist_version order by since")
        )
        found = [
            {"since": s, "until": u, "version": v, "content": json.loads(c)} for s, u, v, c in rows
        ]
        self.door.db.rollback()
        return found

    def naive(self, unit: str) -> Naive:
        """Return the unit for the other way of judging, out of bare SQL."""
        log, db = self._logs[unit], self.door.db
        query = text("select text from entry where unit = :unit and seq > :seq order by seq")
        log += [json.loads(t) for (t,) in db.execute(query, {"unit": unit, "seq": len(log)})]
        rows = db.execute(text("select name, since, value from setting where about = ''"))
        settings = [(name, since, value) for name, since, value in rows]
        return Naive(log, self.lists(), settings, *UNITS[unit])

    def set_site(self, name: str, value: str) -> None:
        self.settings[name] = value
        set_site(self.door.db, {name: value}, self.door.now)

    def take_lists(self, folder: Path) -> None:
        self.folder = folder
        take_checklists(self.door.db, folder, self.door.now)


Body = Callable[[History, random.Random], tuple[str, dict[str, Any]] | None]


def some(ids: list[str], chance: random.Random, most: int = 3) -> list[str]:
    return chance.sample(ids, min(len(ids), chance.randint(1, most)))


def repair(history: History, chance: random.Random) -> tuple[str, dict[str, Any]] | None:
    if not history.defects:
        return None
    many = chance.choice([2, 5, 500])
    named = history.defects[-many:] if many > 2 else some(history.defects, chance)
    return MILAN, {"defects": named, "outcome": "repaired", "work": "made good"}


def deferral(history: History, chance: random.Random) -> tuple[str, dict[str, Any]] | None:
    if not history.defects:
        return None
    until = history.door.now + chance.choice([-5, 10, 60, 600, 3000]) * MINUTE
    body = {"defects": some(history.defects[-12:], chance), "restrictions": "slowly"}
    hours = chance.choice([None, None, 90.0, 120.0])
    return MILAN, {**body, "until": instant.text(until), "until_hours": hours}


def about(kind: str, member: str, by: str, **more: Any) -> Body:
    """Return what names one of the latest entries of a kind."""

    def make_body(history: History, chance: random.Random) -> tuple[str, dict[str, Any]] | None:
        ids = history.ids.get(kind, [])[-6:]
        return (by, {member: chance.choice(ids), **more}) if ids else None

    return make_body


def plain(by: str, **body: Any) -> Body:
    return lambda history, chance: (by, dict(body))


BODIES: dict[str, tuple[Body, ...]] = {
    "clear": (repair,),
    "defer": (deferral,),
    "defect": (
        plain(OLGA, what="smoke"),
        plain(OLGA, what="torn", item="seat"),
        plain(MILAN, what="cut", item="tyre"),
        plain(SARA, what="bolts", critical=True),
    ),
    "hold": (plain(SARA, reason="audit"),),
    "release": (about("hold", "hold", SARA, note="over"),),
    "lay_up": (plain(SARA, reason="winter"),),
    "return": (about("lay_up", "lay_up", SARA, note="spring"),),
    "settle": (
        about("walkaround", "about", SARA, note="n"),
        about("defect", "about", SARA, note="n"),
    ),
    "confirm": (about("walkaround", "entry", OLGA), about("clear", "entry", MILAN)),
    "correction": (
        about("walkaround", "entry", OLGA, what="w", withdraws=True),
        about("defer", "entry", MILAN, what="w", withdraws=True),
        about("walkaround", "entry", SARA, what="w", withdraws=True),
    ),
    "hours": (plain(OLGA, value=88.0), plain(OLGA, value=95.5), plain(MILAN, value=125.0)),
    "meter_change": (plain(SARA, old=126.0, new=2.0, note="n"),),
}
