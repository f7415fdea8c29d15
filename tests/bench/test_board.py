"""The board with a long past behind it, against the same board with hardly any."""

import statistics
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import time_machine
from flask.testing import FlaskClient
from sqlalchemy import Engine, event

from tests.bench import walks
from tests.bench.fill import SITE, fill
from tests.bench.history import OPERATORS, SUPERVISOR
from tests.bench.saying import say
from tests.people import some_keys
from walkaround import places
from walkaround.actions.add_token import add_token
from walkaround.app import create_app
from walkaround.config import Config
from walkaround.rules import instant
from walkaround.store.db import make_engine, make_session

pytestmark = pytest.mark.bench

UNITS = 500
PASTS = {"1,000": 2, "100,000": 200}  # shifts, each unit walked once in each
NOW = instant.parse("2026-11-25T07:00:00Z")  # eight in Madrid, two hours into the first shift
ROUNDS = 30
MOST = 1.2  # asked for: what a page costs follows its units, not the years behind them


@dataclass
class Board:
    """A site whose supervisor's program asks for the board."""

    client: FlaskClient
    supervisor: str
    operator: str
    times: dict[str, list[float]] = field(default_factory=dict)

    def ask(self, path: str, named: str) -> Any:
        """Ask for a page, and note how many milliseconds its answer took."""
        started = time.perf_counter()
        answer = self.client.get(path, headers={"Authorization": f"Bearer {self.supervisor}"})
        self.times.setdefault(named, []).append((time.perf_counter() - started) * 1000)
        assert answer.status_code == 200
        return answer

    def walk(self, number: int) -> None:
        """Let one more walk-around come in."""
        batch = {"sent_at": instant.text(NOW), "entries": [walks.entry(f"L{number:03}", NOW)]}
        headers = {"Authorization": f"Bearer {self.operator}"}
        answer = self.client.post("/api/v1/entries", json=batch, headers=headers)
        assert answer.json["results"][0]["result"] == "accepted"


@pytest.fixture(scope="module")
def at_eight() -> Iterator[None]:
    """The present instant of both sites."""
    with time_machine.travel(NOW / 1000, tick=False):
        yield


@pytest.fixture(scope="module")
def boards(
    tmp_path_factory: pytest.TempPathFactory, at_eight: None
) -> Iterator[Mapping[str, Board]]:
    """Two sites of the same units that stand alike, with little and with much behind them."""
    folder, found, engines = tmp_path_factory.mktemp("boards"), {}, []
    for past, shifts in PASTS.items():
        url = f"sqlite:///{folder}/{past}.db"
        _fill(url, shifts)
        engines.append(make_engine(url))
        found[past] = _board(engines[-1], folder / past)
    yield found
    for engine in engines:
        engine.dispose()
    for path in folder.glob("*.db"):
        path.unlink()  # it is large


def _fill(url: str, shifts: int) -> None:
    """Fill a site; nothing here is worth waiting for the disk."""
    engine = make_engine(url)
    event.listen(engine, "connect", lambda raw, _record: raw.execute("pragma synchronous=off"))
    started = time.perf_counter()
    count = fill(engine, units=UNITS, shifts=shifts, now=NOW)
    engine.dispose()
    say(f"{count} walk-arounds written in {time.perf_counter() - started:.0f} s")


def _board(engine: Engine, data: Path) -> Board:
    with pytest.MonkeyPatch.context() as patch, make_session(engine, SITE) as db:
        patch.setattr("walkaround.store.keys.read_or_make", lambda _folder: some_keys())
        client = create_app(Config(data=data, checklists=places.checklists()), engine).test_client()
        return Board(client, add_token(db, SUPERVISOR, NOW), add_token(db, OPERATORS[0], NOW))


def measure(boards: Mapping[str, Board], named: str, one: Callable[[Board, int], None]) -> float:
    """Do something to both boards in turn; print the medians, return their ratio."""
    for turn in range(ROUNDS + 2):
        for board in boards.values():
            one(board, turn)
    # The first rounds read the lists and compile the templates.
    medians = [statistics.median(board.times[named][2:]) for board in boards.values()]
    ratio = medians[1] / medians[0]
    said = ", ".join(f"{past} {ms:.1f} ms" for past, ms in zip(boards, medians, strict=True))
    say(f"{named}, {UNITS} units, walk-arounds behind it: {said}; ratio {ratio:.3f}")
    return ratio


def test_both_boards_say_the_same(boards: Mapping[str, Board]):
    pages = [board.ask("/board", "unmeasured").text for board in boards.values()]

    heads = [page.partition("<h1")[2].partition("</h1>")[0] for page in pages]
    assert heads[0] == heads[1]
    assert abs(len(pages[0]) - len(pages[1])) < 0.01 * len(pages[0])


@pytest.mark.parametrize("path", ["/board", "/api/v1/units"])
def test_the_past_costs_the_board_nothing(boards: Mapping[str, Board], path: str):
    ratio = measure(boards, path, lambda board, _turn: board.ask(path, path))

    assert ratio <= MOST


def test_the_past_costs_nothing_either_right_after_one_more_entry(boards: Mapping[str, Board]):
    named = "/board after one more entry"

    def one(board: Board, turn: int) -> None:
        board.walk(turn + 1)
        board.ask("/board", named)

    assert measure(boards, named, one) <= MOST
