"""A bad line between one phone and the server: it loses, delays, doubles and cuts what it carries.

It listens on a port of its own and carries one request a connection. What becomes of each is drawn
from `chance`. What it did is noted only if it really came to that: an answer counts as lost if a
whole one had come, a request as doubled if both copies were answered.
"""

import random
import re
import socket
import time
from contextlib import suppress
from threading import Thread

# What becomes of a hundred requests.
FATES = {
    "passed on": 52,
    "late": 8,
    "request lost": 7,
    "request cut": 7,
    "answer lost": 8,
    "answer cut": 7,
    "doubled at once": 6,
    "doubled late": 5,
}
LATE = (0.02, 0.4)  # seconds
LATER = (0.1, 2.0)  # seconds; by then the phone has long gone on
PATIENCE = 30  # seconds
LENGTH = re.compile(rb"\r\ncontent-length: *(\d+)", re.IGNORECASE)


class NoAnswer(ConnectionError):
    """The server is not there, or died before it had answered."""


class Line:
    """One phone's way to the server; `happened` says what it has done so far."""

    def __init__(self, server: tuple[str, int], chance: random.Random) -> None:
        self.happened: list[str] = []
        self.under_way: set[socket.socket] = set()
        self._server, self._chance, self._over = server, chance, False
        self._copies: list[Thread] = []
        self._door = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._door.getsockname()[1]
        self._thread = Thread(target=self._listen)
        self._thread.start()

    def close(self) -> None:
        """Carry nothing more; return when the last late copy has arrived."""
        self._over = True
        socket.create_connection(("127.0.0.1", self.port)).close()
        self._thread.join()
        self._door.close()
        for copy in self._copies:
            copy.join()

    def _listen(self) -> None:
        while not self._over:
            phone, _ = self._door.accept()
            with phone, suppress(OSError):
                phone.settimeout(PATIENCE)
                if request := whole(phone):
                    phone.sendall(self._carry(request))

    def _carry(self, request: bytes) -> bytes:
        """Return what of the answer gets through to the phone."""
        (fate,) = self._chance.choices([*FATES], [*FATES.values()])
        if fate == "request lost":
            answer = b""
        elif fate == "request cut":
            answer = self._cut(request)
        elif fate.startswith("doubled"):
            return self._double(request, fate)
        else:
            answer = self._shorten(self._exchange(request), fate)
        self.happened.append(fate)
        return answer

    def _cut(self, request: bytes) -> bytes:
        """Bring a part of a request, and hang up on both sides."""
        with socket.create_connection(self._server, PATIENCE) as server:
            server.sendall(request[: self._chance.randrange(1, len(request))])
        return b""

    def _double(self, request: bytes, fate: str) -> bytes:
        """Bring a request twice: at the same moment, or once more when nobody waits."""
        wait = 0.0 if fate == "doubled at once" else self._chance.uniform(*LATER)
        copy = Thread(target=self._again, args=(request, fate, wait))
        copy.start()
        self._copies.append(copy)
        return self._exchange(request)

    def _again(self, request: bytes, fate: str, wait: float) -> None:
        time.sleep(wait)
        with suppress(NoAnswer):
            self._exchange(request)
            self.happened.append(fate)

    def _shorten(self, answer: bytes, fate: str) -> bytes:
        if fate == "late":
            time.sleep(self._chance.uniform(*LATE))
        kept = {"answer lost": 0, "answer cut": self._chance.randrange(1, len(answer))}
        return answer[: kept.get(fate, len(answer))]

    def _exchange(self, request: bytes) -> bytes:
        """Bring a request and return the server's whole answer."""
        try:
            with socket.create_connection(self._server, PATIENCE) as server:
                self.under_way.add(server)
                try:
                    server.sendall(request)
                    return whole(server)
                finally:
                    self.under_way.discard(server)
        except ConnectionRefusedError as error:
            self.happened.append("nobody there")
            raise NoAnswer from error
        except OSError as error:
            self.happened.append("broken off by the server's death")
            raise NoAnswer from error


def whole(other: socket.socket) -> bytes:
    """Return a whole request or answer; raise NoAnswer if its sender hung up before."""
    read = b""
    while (size := _size(read)) is None or len(read) < size:
        if not (more := other.recv(65_536)):
            raise NoAnswer
        read += more
    return read


def _size(read: bytes) -> int | None:
    """Return how long a message is to be (RFC 9112, 6.3); None while its head is not here."""
    head, end, _ = read.partition(b"\r\n\r\n")
    if not end:
        return None
    length = LENGTH.search(head)
    return len(head) + len(end) + (int(length[1]) if length else 0)
