"""A phone that heard of a unit once, and goes on by itself: what it records, what it shows."""

import json
import random
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any
from unittest import mock

from flask import Flask
from sqlalchemy import Engine

from tests import make
from tests.door import MILAN, OLGA
from tests.history import History, connection, opened
from tests.scripts import Scripts
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.rules import instant
from walkaround.rules.instant import HOUR, MINUTE, SECOND
from walkaround.store import sessions

NUMBERS = [number for number, _, _ in make.CREW.values()]
MECHANIC = make.CREW[MILAN][0]
BAD: tuple[dict[str, str], ...] = (
    *[{}] * 25, {"seat": "defect"}, {"horn": "defect"}, {"pressure": "290"}, {"pressure": "391"},
    {"horn": "could_not_check"}, {"coupler": "in_order"}, {"pressure": "could_not_check"},
)  # fmt: skip


@dataclass
class Unheard:
    """One phone with one person signed in; `own` is what it keeps, oldest first.

    The office's clock is `off` milliseconds ahead of the phone's, which goes on evenly.
    """

    history: History
    scripts: Scripts
    chance: random.Random
    site: dict[str, Any]  # as the office told it
    number: str
    off: int = 0
    own: list[dict[str, Any]] = field(default_factory=list)
    arrived: int = 0
    heard: int = 0

    def __post_init__(self) -> None:
        """Note when the office was heard, and its clock, as heard.js does."""
        self.heard = self.history.door.now
        date = self.history.door.now // SECOND * SECOND  # as a header says it
        asked = ("clock", "aheadBy", date, self.now, self.now)
        self.site |= {"at": self.now, "ahead": self.scripts.call(asked)[0]}

    @property
    def now(self) -> int:
        """Return what the phone's clock shows."""
        return self.history.door.now - self.off

    @property
    def office_time(self) -> int:
        """Return what time the phone takes it to be at the office: not before it was heard."""
        return max(self.heard, self.now + int(self.site["ahead"]))

    def shown(self) -> dict[str, Any]:
        """Return what the phone says of the unit now, out of its store."""
        asked = {"site": self.site, "number": self.number, "own": self.own, "now": self.now}
        (found,) = self.scripts.call(("stored-phone", "says", asked))
        return dict(found)

    @property
    def unit(self) -> dict[str, Any]:
        return next(unit for unit in self.site["units"] if unit["number"] == self.number)

    @property
    def signed_in(self) -> str | None:
        """Return whose sign-in holds, by what the phone heard."""
        known = self.site["signed_in"]
        return known["crew_number"] if known and self.office_time < known["until"] else None

    def sign_out(self) -> None:
        """Sign out with what was recorded last still on the phone."""
        self.site["signed_in"] = None

    # --- what it records

    def signer(self, who: str | None = None) -> dict[str, str]:
        """Return who signs: whoever is signed in, else somebody with a PIN for the server alone."""
        here = self.signed_in
        is_here = here and self.chance.random() < 0.85
        who = who or (here if here and is_here else self.chance.choice(NUMBERS))
        known = who == here and self.chance.random() < 0.9
        return {"by": who} if known else {"by": who, "sealed": "x"}

    def walk(self, begun: int) -> None:
        """Walk round the unit, on the page that phones keep; begun so many minutes ago."""
        known, started = self.unit["lists"]["start_of_shift"], self.now - begun * MINUTE
        ahead = self.site["ahead"]
        items = [item for item in self._items(known) if self._is_due(item, started + ahead)]
        given = self.chance.choice(BAD)
        steps = [{"item": item["item"], "stored": item.get("measure")} for item in items]
        pairs = [pair for item in items for pair in self._answered(item, given.get(item["item"]))]
        pairs += self._more(started + ahead)
        walk = {"steps": steps, "pairs": pairs, "dataset": self._page(known)}
        draft = {"entry": self._id(), "unit": self.number, "started_at": started}
        draft |= {"checklist": known["name"], "version": known["version"]}
        more = {"draft": draft, "signer": self.signer(), "device": {"device": self.site["device"]}}
        more |= {"now": self.now, "ahead": ahead}
        (made,) = self.scripts.call(("paper-walk", "made", walk | more))
        self.own.append(made)

    def record(self, kind: str, body: dict[str, Any], found: list[dict[str, Any]]) -> None:
        """Keep another entry."""
        entry = {"id": self._id(), "kind": kind, "unit": self.number, "body": body}
        entry |= {"made_at": instant.text(self.now), "device": self.site["device"]}
        found = [{"id": entry["id"], "covered": False, **one} for one in found]
        self.own.append({"id": entry["id"], "entry": entry, "found": found, **self.signer()})

    def clear(self) -> None:
        """Clear a whole line, as the phone knows it: heard, found here, or both."""
        (lines,) = self.scripts.call(("standing", "linesOf", self.unit, self.own))
        if lines:
            line = self.chance.choice(lines)
            body = {"defects": line["defects"], "outcome": "repaired", "work": "made good"}
            self.record("clear", body, [])
            self.own[-1] |= self.signer(MECHANIC)

    def arrive(self) -> None:
        """Let all that has not arrived yet arrive at the office, now."""
        for record in self.own[self.arrived :]:
            own = record["by"] == self.signed_in and "sealed" not in record
            proved = own or ("sealed" in record and self.chance.random() < 0.7)
            self.history.door.post(record["entry"], record["by"], proved=proved, sent_at=self.now)
        self.arrived = len(self.own)

    def _id(self) -> str:
        return str(uuid.UUID(int=self.chance.getrandbits(128), version=4))

    def _items(self, known: dict[str, Any]) -> list[dict[str, Any]]:
        contents = {row["version"]: row["content"] for row in self.history.lists()}
        return [i for s in contents[known["version"]]["stations"] for i in s["items"]]

    def _is_due(self, item: dict[str, Any], now: int) -> bool:
        """Say whether kept-walk.js leaves a step on the page."""
        every, at = item.get("measure", {}).get("every"), self.unit["measured"].get(item["item"])
        days = int(every.split()[0]) if every else 0
        return not (days and at and at <= now < at + days * 24 * HOUR)

    def _answered(self, item: dict[str, Any], bad: str | None) -> list[tuple[str, str]]:
        name = item["item"]
        line = next((one for one in self.unit["lines"] if one["item"] == name), None)
        than = [(f"than:{name}", id) for id in line["defects"]] if line and line["deferred"] else []
        good = "340" if "measure" in item else "not_fitted" if "optional" in item else "in_order"
        if than and not bad and self.chance.random() < 0.6:
            bad = self.chance.choice(["290", good, good]) if "measure" in item else "no_worse"
        answer = bad or good
        if not answer.isdigit():
            return [(f"answer:{name}", answer), (f"note:{name}", "n"), *than]
        return [(f"answer:{name}", "value"), (f"value:{name}", answer), *than]

    def _more(self, started: int) -> list[tuple[str, str]]:
        """Return what is asked besides the items: the shift, the hours, second looks."""
        call = ("covering", "choices", self.site["shifts"], started)
        near = self.scripts.call(call)[0]
        pairs = [("for_shift", str(self.chance.choice(near)["start"]))] if near else []
        hours = self.chance.choice([None, None, None, None, 5.8, 84.5, 85, 87])
        pairs += [("hours", str(hours)), ("insisted", "y")] if hours else [("no_hours", "y")]
        looks = [look for look in self.unit["looks"] if self.chance.random() < 0.8]
        return pairs + [("looks", look["clear"]) for look in looks]

    def _page(self, known: dict[str, Any]) -> dict[str, Any]:
        return {
            "occasion": "start_of_shift",
            "validFor": known["valid_for"] or "",
            "shifts": json.dumps(self.site["shifts"]),
            "hours": "" if self.unit["hours"] is None else self.unit["hours"],
            "hoursAt": self.unit["hours_at"],
        }


@dataclass
class Office:
    """The program over a site in memory, which starts anew for every history."""

    app: Flask
    engine: Engine

    @contextmanager
    def begun(self) -> Iterator[History]:
        """Give a history that begins with a new site."""
        connection(self.engine).deserialize(opened())
        history = History(self.engine)
        try:
            yield history
        finally:
            history.door.db.close()

    def tell(self, history: History, chance: random.Random) -> dict[str, Any]:
        """Sign somebody in on a new phone, and return all that it hears."""
        door, who = history.door, make.CREW[chance.choice([OLGA, OLGA, MILAN])][0]
        phone, secret = enrol_phone(door.db, add_phone(door.db, None, make.DAWN), make.DAWN)
        ends = door.now + chance.choice([2, 12, 12]) * HOUR
        session = sessions.start(door.db, who, phone, door.now, ends)
        door.db.commit()
        client = self.app.test_client()
        client.set_cookie("walkaround-phone", secret)
        client.set_cookie("walkaround-session", session)
        with mock.patch("walkaround.clock.now", return_value=door.now):
            said = client.get("/api/v1/kept")
        assert said.status_code == 200, said.text
        return dict(said.json)
