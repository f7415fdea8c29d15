"""A phone that keeps to the contract: it keeps, sends, and forgets only what a reply names."""

import http.client
import json
import random
from contextlib import closing
from dataclasses import dataclass, field
from http.cookies import SimpleCookie
from threading import Event
from typing import Any

from tests.faults.work import Made, Work
from walkaround import clock
from walkaround.rules import instant

BATCH = 4  # few, so that there are many requests; phones send up to fifty
FIRST_PAUSE, LONGEST_PAUSE = 0.02, 1.0  # seconds; phones begin with two
PATIENCE = 40  # seconds


class Later(Exception):
    """Nothing that can be built upon came back, so all of it is sent again."""


@dataclass
class Phone:
    """An enrolled phone on which somebody is signed in; `results` is what replies have named."""

    port: int  # of its line to the server
    cookies: dict[str, str]
    work: Work
    chance: random.Random
    results: dict[str, str] = field(default_factory=dict)
    made: list[Made] = field(default_factory=list)  # so far
    _sent_photos: set[str] = field(default_factory=set)

    @property
    def waiting(self) -> list[Made]:
        """What is sent next comes first: what tags a unit out, then as it was made."""
        left = [made for made in self.made if made.id not in self.results]
        return sorted(left, key=lambda made: (not made.stops, made.n))

    def send_all(self, enough: Event) -> None:
        """Go on making entries and sending what waits until all is sent, or enough was tried."""
        tries = 0
        while len(self.results) < len(self.work.made) and not enough.is_set():
            self._go_on()
            try:
                self.send()
                tries = 0
            except (Later, OSError, http.client.HTTPException, ValueError):
                tries += 1
            enough.wait(self.chance.uniform(0, min(LONGEST_PAUSE, FIRST_PAUSE * 2**tries)))

    def _go_on(self) -> None:
        """Make the next few entries, often while earlier ones still wait."""
        if not self.waiting or self.chance.random() < 0.4:
            more = len(self.made) + self.chance.randint(1, 5)
            self.made = self.work.made[:more]

    def send(self) -> None:
        """Send what waits, batch by batch: its photos first, then its entries.

        It raises what kept it from going on.
        """
        token = self._ask("GET", "/api/v1/me", {200})["csrf"]
        while batch := self.waiting[:BATCH]:
            for name in [name for made in batch for name in made.photos]:
                self._send_photo(name, token)
            content = {"sent_at": instant.text(clock.now()), "entries": [m.entry for m in batch]}
            body, kind = json.dumps(content).encode(), "application/json"
            told = self._ask("POST", "/api/v1/entries", {200}, token, body, kind)
            self.results |= {result["id"]: result["result"] for result in told["results"]}

    def _send_photo(self, name: str, token: str) -> None:
        if name not in self._sent_photos:
            path, photo = f"/api/v1/photos/{name}", self.work.photos[name]
            told = self._ask("PUT", path, {200, 201}, token, photo, "image/jpeg")
            self._sent_photos.add(told["sha256"])

    def _ask(
        self,
        method: str,
        path: str,
        good: set[int],
        token: str = "",
        body: bytes | None = None,
        kind: str = "",
    ) -> dict[str, Any]:
        """Return the JSON of a whole answer with one of these statuses; else it is for later."""
        cookie = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        headers = {"Connection": "close", "Cookie": cookie}
        headers |= {"X-CSRF-Token": token, "Content-Type": kind} if body else {}
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        with closing(line):
            line.request(method, path, body, headers)
            answer = line.getresponse()
            read = json.loads(answer.read())
        if answer.status not in good:
            raise Later
        for header in answer.headers.get_all("Set-Cookie", []):
            self.cookies |= {name: one.value for name, one in SimpleCookie(header).items()}
        return dict(read)
