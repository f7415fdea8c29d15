"""No page's cost may grow with the years: SQLite itself says how it finds what a page asks for.

EXPLAIN QUERY PLAN (sqlite.org/eqp.html) says SCAN where every row of a table is read, and SEARCH
with the columns that are looked up in an index where only some are. A search by the site alone
reads all of the site; one by the unit alone all that ever happened to the unit.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from sqlalchemy import Engine, event
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.add_unit import add_unit
from walkaround.rules import instant
from walkaround.store.models import Base

GROWING = ("entry", "walk", "defect", "reading", "measure", "remark", "link", "photo_use")
GROWING += ("hold", "doubt")
STEP = re.compile(r"(?:SCAN|SEARCH) (\w+)(?: USING (?:COVERING )?INDEX \w+(?: \((.*)\))?)?")
PAGES = ["/board", "/units", "/defects", "/api/v1/units", "/units/L07", "/api/v1/units/L07"]
PAGES += ["/units/L07/logbook", "/api/v1/units/L07/checklist?occasion=start_of_shift"]
FEW, MANY = 0, 30  # facts of few units are looked up by their numbers, of many without


@contextmanager
def queries(engine: Engine) -> Iterator[list[tuple[str, list[str]]]]:
    """Collect each query with the steps in which SQLite answers it."""
    found: list[tuple[str, list[str]]] = []

    def explain(connection, _cursor, statement, parameters, _context, _many):
        if statement.startswith("SELECT"):
            raw = connection.connection.dbapi_connection
            steps = raw.execute(f"explain query plan {statement}", parameters).fetchall()
            found.append((statement, [step[3] for step in steps]))

    event.listen(engine, "before_cursor_execute", explain)
    yield found
    event.remove(engine, "before_cursor_execute", explain)


def growing(statement: str, steps: list[str]) -> list[str]:
    """Return the steps that take longer the more years there are."""
    # What is sorted within one instant (its "right part") does not keep a LIMIT from ending early.
    sorts = any("TEMP B-TREE FOR" in step and "RIGHT PART" not in step for step in steps)
    bounded = "LIMIT" in statement and not sorts
    found = []
    for step in steps:
        match = STEP.match(step)
        columns = set(re.findall(r"(\w+)[=<>]", match[2] or "")) if match else set()
        if match and match[1] in GROWING and columns <= {"site", "unit"}:
            found += [] if bounded and columns == {"site", "unit"} else [step]
    return found


@pytest.fixture(params=[FEW, MANY])
def fleet(request: pytest.FixtureRequest, db: Session) -> None:
    """More units than the two that are there, or not."""
    for number in range(request.param):
        add_unit(db, f"N{number:02}", "wheel loader", make.DAWN)


def send(client: Client, kind: str, body: dict, minutes: float = 10) -> dict:
    sent = make.entry(kind, body, minutes=minutes)
    batch = {"sent_at": instant.text(make.at(30)), "entries": [sent]}
    result = client.api("POST", "/entries", json=batch).json["results"][0]
    assert result["result"] == "accepted", result
    return result


def live(operator: Client, mechanic: Client, supervisor: Client) -> None:
    """Let something of everything happen to L07; the walk leaves out what is not asked each day."""
    seat = make.answer("seat", "in_order", note="a little loose")
    body = make.walkaround(more={"hours": 85}, tyre="defect", seat=None, pressure=None)
    body["answers"] += [seat, make.answer("horn", "defect")]
    ids = send(operator, "walkaround", body)["defects"]
    send(mechanic, "clear", {"defects": ids[:1], "outcome": "repaired", "work": "new"}, 20)
    hold = send(supervisor, "hold", {"reason": "papers"}, 21)["id"]
    send(supervisor, "release", {"hold": hold, "note": "all there"}, 22)
    send(operator, "walkaround", make.walkaround(25, pressure=None), 25)


def test_the_tables_that_grow_are_there():
    assert set(GROWING) <= set(Base.metadata.tables)


@pytest.mark.usefixtures("fleet")
def test_no_page_reads_all_that_ever_was(
    operator: Client, mechanic: Client, supervisor: Client, engine: Engine
):
    live(operator, mechanic, supervisor)

    for path in PAGES:
        with queries(engine) as found:
            assert supervisor.get(path).status_code == 200, path

        assert any(STEP.match(step) for _, steps in found for step in steps), path
        for statement, steps in found:
            assert not growing(statement, steps), f"{path}: {statement}\n{steps}"


def test_no_entry_that_comes_in_reads_all_that_ever_was(
    operator: Client, mechanic: Client, supervisor: Client, engine: Engine
):
    with queries(engine) as found:
        live(operator, mechanic, supervisor)

    asked = {name for _, steps in found for step in steps for name in STEP.findall(step)}
    assert {"entry", "link", "walk", "defect", "hold", "reading"} <= {name for name, _ in asked}
    for statement, steps in found:
        assert not growing(statement, steps), f"{statement}\n{steps}"


@pytest.mark.parametrize(
    "statement",
    [
        "select * from walk",
        "select * from walk where site = 'x' and (made_at > 1 or site = 'y') order by standing",
        "select * from defect where site = 'x' and unit = 'L07'",
        "select * from entry where site = 'x' and unit = 'L07' order by hash LIMIT 1",
    ],
)
def test_a_growing_step_is_noticed(db: Session, statement: str):
    raw = db.connection().connection.dbapi_connection

    steps = [step[3] for step in raw.execute(f"explain query plan {statement}")]

    assert growing(statement, steps)
