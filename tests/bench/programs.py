"""Programs that hand in walk-arounds: each keeps one connection open and waits for each answer."""

import http.client
import json
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from tests.bench import walks
from walkaround import clock
from walkaround.rules import instant


@dataclass(frozen=True)
class Load:
    """How many walk-arounds are handed in, by how many clients, how many in a request."""

    walks: int
    clients: int
    batch: int


def rate(url: str, token: str, units: Sequence[str], load: Load) -> float:
    """Return how many walk-arounds a second were accepted, each of another unit."""
    each = load.walks // load.clients // load.batch
    work = [
        [_request(units, (client * each + i) * load.batch, load.batch) for i in range(each)]
        for client in range(load.clients)
    ]
    taken: list[int] = []
    team = [threading.Thread(target=_send, args=(url, token, mine, taken)) for mine in work]
    started = time.perf_counter()
    for one in team:
        one.start()
    for one in team:
        one.join()
    spent = time.perf_counter() - started
    assert sum(taken) == each * load.clients * load.batch, "some were not accepted"
    return sum(taken) / spent


def _request(units: Sequence[str], first: int, batch: int) -> bytes:
    """Return a request with a walk-around each of the units from this one on."""
    now, numbers = clock.now(), range(first, first + batch)
    entries = [walks.entry(units[number % len(units)], now) for number in numbers]
    return json.dumps({"sent_at": instant.text(now), "entries": entries}).encode()


def _send(url: str, token: str, work: Sequence[bytes], taken: list[int]) -> None:
    where = urlsplit(url)
    line = http.client.HTTPConnection(where.hostname or "", where.port, timeout=60)
    headers = {"Authorization": f"Bearer {token}", "Content-Type": "application/json"}
    for body in work:
        line.request("POST", "/api/v1/entries", body, headers)
        answer = line.getresponse()
        said: dict[str, Any] = json.loads(answer.read())
        assert answer.status == 200, said
        taken.append(sum(one["result"] == "accepted" for one in said["results"]))
    line.close()
