"""The line breaks at the worst moment: everything arrives, once, in its maker's name."""

import socket
from collections.abc import Iterator
from contextlib import suppress
from functools import partial
from threading import Thread

import pytest
from playwright.sync_api import Page, expect

from tests.away import HAS_KEPT as KEPT
from tests.away import Server, begin, sent, sign, sign_in, stored, until, walk
from tests.chromium import Open
from tests.faults.line import whole
from tests.pocket import Pocket

pytestmark = pytest.mark.browser

ENTRIES, PHOTO = b"POST /api/v1/entries", b"PUT /api/v1/photos/"
PLAIN = [(ENTRIES, "answer lost"), (PHOTO, "request cut")]


class Aimed:
    """A line that breaks at one request, the next that begins with `aim`; `seen` has them all."""

    def __init__(self, port: int) -> None:
        self.aim, self.fate, self.seen = b"", "", list[bytes]()
        self._server, self._door = ("127.0.0.1", port), socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{self._door.getsockname()[1]}"
        Thread(target=self._listen, daemon=True).start()

    def close(self) -> None:
        self._door.close()

    def _listen(self) -> None:
        with suppress(OSError):  # the door is closed
            while True:
                phone, _ = self._door.accept()
                Thread(target=self._carry, args=(phone,), daemon=True).start()

    def _carry(self, phone: socket.socket) -> None:
        with phone, suppress(OSError):
            request = whole(phone).replace(b"Connection: keep-alive", b"Connection: close")
            self.seen.append(request.partition(b" HTTP/")[0])
            hit = bool(self.aim) and request.startswith(self.aim)
            phone.sendall(self._broken(request) if hit else self._exchange(request))
            self.aim = b"" if hit else self.aim

    def _broken(self, request: bytes) -> bytes:
        if self.fate == "request lost":
            return b""
        if self.fate == "request cut":
            return self._exchange(request[: len(request) // 2])
        answer = self._exchange(request)
        return answer[: len(answer) // 2] if self.fate == "answer cut" else b""

    def _exchange(self, request: bytes) -> bytes:
        """Bring a request and return all that the server says until it hangs up."""
        with socket.create_connection(self._server) as server:
            server.sendall(request)
            server.shutdown(socket.SHUT_WR)
            return b"".join(iter(partial(server.recv, 65_536), b""))


@pytest.fixture
def line(server: Server) -> Iterator[Aimed]:
    made = Aimed(int(server.url.rpartition(":")[2]))
    yield made
    made.close()


def enrolled(server: Server, line: Aimed, page: Page) -> Page:
    """A phone at the end of that line, the operator signed in."""
    code = server.site.command("phone", "add").split()[-1].rpartition("/")[2]
    page.goto(f"{line.url}/enrol/{code}")
    sign_in(page, "Olga Operator")
    until(page, KEPT)
    return page


def hand_in(page: Page, url: str) -> None:
    """Walk round L07, whose tyre is bad, and sign."""
    page.goto(f"{url}/units/L07/walkarounds/new")
    begin(page)
    walk(page, bad="tyre")
    sign(page)


def arrived(server: Server) -> None:
    """Hold that the walk is there, once, whole, and nothing was refused or is in doubt."""
    (entry,) = server.kinds("walkaround")
    assert (entry["by"], entry["signature"]) == ("101", "confirmed")
    assert [kind["kind"] for kind in server.logbook()] == ["walkaround"]
    (photo,) = [photo for answer in entry["body"]["answers"] for photo in answer.get("photos", [])]
    assert [file for file in (server.site.data / "photos").rglob(f"{photo}*") if file.is_file()]


# The two worst moments each time; all of them where there are minutes for it.
BREAKS = [
    pytest.param(aim, fate, marks=() if (aim, fate) in PLAIN else pytest.mark.long)
    for aim in (ENTRIES, PHOTO)
    for fate in ("request lost", "request cut", "answer lost", "answer cut")
]


@pytest.mark.parametrize(("aim", "fate"), BREAKS)
def test_a_line_that_breaks_loses_and_doubles_nothing(
    server: Server, line: Aimed, open_phone: Open, aim: bytes, fate: str
):
    page = enrolled(server, line, open_phone().new_page())
    line.aim, line.fate = aim, fate

    hand_in(page, line.url)
    expect(page.locator(".plate").first).to_contain_text("Tagged out")
    sent(page)

    assert line.aim == b""  # it did break
    arrived(server)
    assert {one["state"] for one in stored(page, "entry")} == {"sent"}


@pytest.mark.parametrize("aim", [ENTRIES, pytest.param(PHOTO, marks=pytest.mark.long)])
def test_a_browser_killed_while_it_waits_for_the_answer_sends_once(
    server: Server, line: Aimed, pocket: Pocket, aim: bytes
):
    assert pocket.context
    enrolled(server, line, pocket.page())
    page = pocket.rest()  # which forgets who was signed in
    page.goto(f"{line.url}/sign-in")
    sign_in(page, "Olga Operator")
    line.aim, line.fate = aim, "answer lost"
    hand_in(page, line.url)
    while line.aim:
        page.wait_for_timeout(20)

    pocket.kill()
    page = pocket.start().pages[0]
    page.goto(f"{line.url}/sign-in")
    sign_in(page, "Olga Operator")
    sent(page)

    arrived(server)


def test_two_tabs_send_each_entry_once(server: Server, line: Aimed, open_phone: Open):
    context = open_phone()
    page = enrolled(server, line, context.new_page())
    server.stop()
    hand_in(page, line.url)
    expect(page.get_by_text("Kept on this phone at")).to_be_visible()
    other = context.new_page()
    other.goto(f"{line.url}/waiting")
    server.start()
    line.seen.clear()

    for tab in (page, other):
        tab.evaluate("dispatchEvent(new Event('online'))")
    expect(other.get_by_text("Nothing waits.")).to_be_visible()

    assert line.seen.count(ENTRIES) == 1
    arrived(server)
