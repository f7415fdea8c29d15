"""The door as tests use it: who sends what when, and how a unit stands by it."""

import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import pytest
from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from tests import make
from tests.site import open_up
from walkaround.actions.enter import Result, Sender, enter
from walkaround.rules.verdict import Verdict, verdict
from walkaround.store import units
from walkaround.store.db import make_engine
from walkaround.store.models import EntryRow
from walkaround.store.verdicts import facts_at, facts_of

OLGA, MILAN, SARA = make.CREW


@dataclass
class Door:
    """One site's door, at an instant that a test may move."""

    db: Session
    now: int = make.at(30)

    def send(
        self,
        kind: str,
        body: Mapping[str, Any],
        by: str = OLGA,
        *,
        proved: bool = True,
        sent_at: int | None = None,
        more: Mapping[str, Any] | None = None,
        **entry: Any,
    ) -> Result:
        """Send one entry of one of the crew, or of a crew number."""
        return self.post(
            {**make.entry(kind, dict(body), **entry), **(more or {})},
            by,
            proved=proved,
            sent_at=sent_at,
        )

    def post(
        self,
        sent: Mapping[str, Any],
        by: str = OLGA,
        *,
        proved: bool = True,
        sent_at: int | None = None,
    ) -> Result:
        """Send an entry as it is."""
        number = make.CREW[by][0] if by in make.CREW else by
        return enter(self.db, sent, Sender(number, proved, sent_at), self.now)

    def walk(self, by: str = OLGA, **given: Any) -> Result:
        """Send a walk-around that is clean but for the answers given."""
        known = ("minutes", "unit", "id", "proved", "sent_at")
        entry = {name: given.pop(name) for name in known if name in given}
        return self.send(
            "walkaround", make.walkaround(entry.get("minutes", 10), **given), by, **entry
        )

    def verdict(self, unit: str = "L07", at: int | None = None) -> Verdict:
        """Return the verdict, after a look that rows and entries say the same."""
        row, now = units.find(self.db, unit), self.now if at is None else at
        assert row is not None
        by_rows = verdict(facts_of(self.db, [row], now)[unit], now)
        assert told(by_rows) == told(verdict(facts_at(self.db, row, max(now, self.now)), now))
        return by_rows

    def codes(self, unit: str = "L07", at: int | None = None) -> list[str]:
        """Return the codes of all reasons that hold."""
        return [reason.code for reason in self.verdict(unit, at).reasons]

    def rows(self, unit: str = "L07") -> list[EntryRow]:
        """Return the entries of a unit, oldest first."""
        query = select(EntryRow).where(EntryRow.unit == unit).order_by(EntryRow.seq)
        return list(self.db.scalars(query))


def told(verdict: Verdict) -> Any:
    """Return what of a verdict may not depend on the order in which its entries came."""
    reasons = {
        (r.code, r.item, frozenset(r.defects), r.hold, r.lay_up, r.about) for r in verdict.reasons
    }
    codes = [reason.code for reason in verdict.reasons]
    return verdict.state, codes, reasons, verdict.valid_until


def plain(verdict: Verdict) -> tuple[Any, ...]:
    """Return a verdict in the words of the way of judging in tests/naive_verdict.py."""
    reasons = {
        (r.code, frozenset(r.defects), r.hold or r.lay_up or r.about) for r in verdict.reasons
    }
    return verdict.state, [r.code for r in verdict.reasons], reasons, verdict.valid_until


def defect_id(entry: str | Result, item: str) -> str:
    """Return the id of the defect that an item of a walk-around adds (design, section 3)."""
    id = entry.id if isinstance(entry, Result) else entry
    return str(uuid.uuid5(uuid.UUID(id), item))


@pytest.fixture
def door(db: Session) -> Door:
    """The door of the test's own site, half an hour into the first shift."""
    return Door(db)


LEVELS = ["READ COMMITTED", "SERIALIZABLE"]


@pytest.fixture(
    params=["SQLite", *(pytest.param(level, marks=pytest.mark.postgres) for level in LEVELS)]
)
def both(request: pytest.FixtureRequest) -> Iterator[Engine]:
    """The same site on SQLite, and on PostgreSQL at both levels of isolation."""
    if request.param == "SQLite":
        yield request.getfixturevalue("engine")
        return
    url = request.getfixturevalue("postgres_url")
    made = make_engine(url, isolation_level=request.param, pool_size=30)
    open_up(made)
    yield made
    made.dispose()
