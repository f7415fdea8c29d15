"""The service worker: whole releases, a new one by a tap, and nobody's name in what is kept."""

import contextlib
import re
import shutil
import socket
import threading
import urllib.request
from collections.abc import Iterator
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from tests.away import Server, answer, begin, here, sent, sign_in, signed_in, stored, until
from tests.chromium import Open
from tests.server import CREW, TOP, Site

pytestmark = pytest.mark.browser


@pytest.fixture
def newer(tmp_path: Path) -> Path:
    """A checkout of the next release: one line of a script is other than here."""
    made = tmp_path / "newer"
    for name in ("walkaround", "templates", "static"):
        shutil.copytree(TOP / name, made / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(TOP / "pyproject.toml", made)
    with (made / "static" / "js" / "ids.js").open("a") as script:
        script.write("// the next release\n")
    return made


def release(page: Page) -> str:
    """Return the release that a page is of."""
    return str(page.evaluate("document.documentElement.dataset.release"))


def deploy(server: Server, program: Path) -> None:
    """Let another release serve the site."""
    server.stop()
    server.site = replace(server.site, program=program)
    server.start()


def look_for_update(page: Page) -> None:
    """Let the browser ask for the worker, as it does once in a while by itself."""
    page.evaluate("navigator.serviceWorker.ready.then((one) => one.update()).catch(() => 0)")


def caches(page: Page) -> list[str]:
    return list(page.evaluate("async () => (await caches.keys()).sort()"))


def test_a_release_that_is_not_whole_changes_nothing(server: Server, phone: Page, newer: Path):
    before, kept = release(phone), caches(phone)
    (newer / "templates" / "kept" / "unit.html").write_text("{{ nothing.at.all }}")
    deploy(server, newer)

    look_for_update(phone)
    expect(phone.get_by_text("it could not be stored")).to_be_visible()

    server.stop()
    phone.goto(f"{server.url}/units/L07")
    expect(phone.get_by_role("heading", name="Unit, as last heard")).to_be_visible()
    assert release(phone) == before
    assert set(kept) <= set(caches(phone))


def test_a_page_that_was_on_its_way_when_the_worker_took_charge_is_served_by_it_too(
    server: Server, open_phone: Open
):
    context = open_phone()
    page, other = context.new_page(), context.new_page()
    is_served = "() => Boolean(navigator.serviceWorker.controller)"

    def hold(route: Route) -> None:
        other.goto(f"{server.url}/sign-in")
        until(other, is_served)
        route.continue_()

    page.route("**/waiting", hold)
    page.goto(f"{server.url}/waiting")

    until(page, is_served)


# What stands between a phone and its server: added to how the next release serves its files.
GATE = """

_whole = kept_file


def kept_file(version, name):
    return gate() if name == "js/ids.js" and version == digest() else _whole(version, name)


def gate():
    from flask import redirect
    """

GATES = {
    "a page": "return Response('<!doctype html><p>Pay for this line', mimetype='text/html')",
    "a redirect": "return redirect('/sign-in')",
    "cut short": "answer = Response(iter([b'ex']), mimetype='text/javascript')\n"
    "    answer.content_length = 9\n    return answer",
}


@pytest.mark.parametrize("gate", GATES)
def test_what_a_gate_puts_in_the_place_of_a_script_is_not_kept(
    server: Server, phone: Page, newer: Path, gate: str
):
    before = release(phone)
    with (newer / "walkaround" / "web" / "assets.py").open("a") as program:
        program.write(GATE + GATES[gate] + "\n")
    deploy(server, newer)

    look_for_update(phone)
    expect(phone.get_by_text("it could not be stored")).to_be_visible()

    assert not phone.get_by_role("button", name="A new version is here").is_visible()
    server.stop()
    phone.goto(f"{server.url}/units/L07")
    expect(phone.get_by_role("heading", name="Unit, as last heard")).to_be_visible()
    assert release(phone) == before


def test_a_new_release_waits_for_a_tap_and_never_breaks_a_walk(
    server: Server, phone: Page, newer: Path
):
    server.stop()
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    answer(phone)
    before = release(phone)
    deploy(server, newer)
    office = phone.context.new_page()
    office.goto(f"{server.url}/waiting")
    assert release(office) == before

    look_for_update(office)
    office.get_by_role("button", name="A new version is here").tap()
    expect(office.get_by_text("Hand in or leave the walk that is open")).to_be_visible()
    assert here(phone).get_attribute("data-item") == "seat"
    phone.close()
    office.reload()
    with office.expect_navigation():
        office.get_by_role("button", name="A new version is here").tap()

    assert release(office) != before
    assert len(caches(office)) == 2  # a page of the one before may still be open
    (draft,) = stored(office, "draft")
    assert draft["unit"] == "L07"
    server.stop()
    office.goto(f"{server.url}/units/L07/walkarounds/new")
    expect(here(office)).to_have_attribute("data-item", "seat")
    assert release(office) != before


def test_what_waits_is_there_and_goes_after_a_new_release(server: Server, phone: Page, newer: Path):
    server.stop()
    phone.goto(f"{server.url}/units/L07/hours/new")
    phone.get_by_label("Hour meter").fill("84,5")
    phone.get_by_role("button", name="Record it").tap()
    expect(phone.get_by_text("Kept on this phone at")).to_be_visible()
    phone.context.route("**/api/v1/me", lambda route: route.abort())  # nothing goes out yet
    deploy(server, newer)
    phone.goto(f"{server.url}/waiting")
    before = release(phone)

    look_for_update(phone)
    with phone.expect_navigation():
        phone.get_by_role("button", name="A new version is here").tap()

    assert release(phone) != before
    assert [one["state"] for one in stored(phone, "entry")] == ["waiting"]
    phone.context.unroute("**/api/v1/me")
    sent(phone)
    assert [one["body"] for one in server.kinds("hours")] == [{"value": 84.5}]


def test_what_the_phone_has_of_the_release_before_is_served_on(
    server: Server, phone: Page, newer: Path
):
    script = phone.evaluate("document.querySelector('script[type=module]').src")
    deploy(server, newer)

    with urllib.request.urlopen(script) as answer_:
        assert answer_.status == 200


def test_nobodys_name_number_or_token_is_in_what_is_kept(server: Server, phone: Page):
    phone.goto(f"{server.url}/units/L07")
    phone.goto(f"{server.url}/more")
    phone.wait_for_timeout(500)

    kept = phone.evaluate(
        """async () => {
          const found = []
          for (const name of await caches.keys()) {
            const cache = await caches.open(name)
            for (const request of await cache.keys()) {
              found.push([new URL(request.url).pathname, await (await cache.match(request)).text()])
            }
          }
          return found
        }"""
    )

    allowed = re.compile(r"/(static/\w{16}/.+|kept/.+|waiting|scan)")
    assert not [path for path, _ in kept if not allowed.fullmatch(path)]
    pages = "".join(text for path, text in kept if not path.startswith("/static/"))
    assert "Olga" not in pages
    assert "csrf" not in pages
    assert not re.search(
        rf"\b{CREW['Olga Operator'][0]}\b", re.sub(r"<(style|svg).*?</\1>", "", pages)
    )


class WithoutWorker(Site):
    """The same site after its worker was taken away again."""

    @property
    def environment(self) -> dict[str, str]:
        return {**super().environment, "WALKAROUND_WORKER": "off"}


NOTHING_KEPT = """async () =>
  !(await caches.keys()).length && !(await navigator.serviceWorker.getRegistrations()).length
"""


def test_a_worker_that_is_taken_away_takes_the_kept_pages_and_leaves_what_waits(
    server: Server, phone: Page
):
    server.stop()
    phone.goto(f"{server.url}/units/L07/defects/new")
    phone.get_by_label("In your own words").fill("Smoke")
    phone.get_by_role("button", name="Report it").tap()
    expect(phone.get_by_text("Kept on this phone at")).to_be_visible()
    assert caches(phone)
    before = stored(phone, "entry")
    phone.context.clear_cookies(name="walkaround-session")  # so that it goes on waiting
    server.site = WithoutWorker(**vars(server.site))
    server.start()

    phone.goto(f"{server.url}/waiting")
    until(phone, NOTHING_KEPT)
    phone.reload()

    assert [one["entry"] for one in stored(phone, "entry")] == [one["entry"] for one in before]
    phone.goto(f"{server.url}/sign-in")
    sign_in(phone, "Olga Operator")
    sent(phone)
    assert [one["id"] for one in server.kinds("defect")] == [before[0]["id"]]
    until(phone, NOTHING_KEPT)


def test_pages_are_kept_as_soon_as_another_window_lets_this_one(server: Server, open_phone: Open):
    context = open_phone()
    other = context.new_page()
    other.goto(f"{server.url}/healthz")
    other.evaluate(
        """() => void navigator.locks.request("walkaround-hear", () =>
          new Promise((done) => setTimeout(done, 6000)))"""
    )

    page = signed_in(server, context)

    assert page.evaluate("Boolean(navigator.serviceWorker.controller)")


def test_the_browser_never_takes_the_worker_out_of_a_cache(phone: Page):
    asked = "navigator.serviceWorker.ready.then((registration) => registration.updateViaCache)"

    assert phone.evaluate(asked) == "none"


@pytest.fixture
def silence(server: Server) -> Iterator[None]:
    """In the server's place: something that takes a call and never says a word."""
    server.stop()
    port = int(server.url.rpartition(":")[2])
    calls: list[socket.socket] = []
    with socket.create_server(("127.0.0.1", port), reuse_port=False) as listener:
        listener.settimeout(0.1)
        over = threading.Event()

        def take() -> None:
            while not over.is_set():
                with contextlib.suppress(TimeoutError):
                    calls.append(listener.accept()[0])

        thread = threading.Thread(target=take)
        thread.start()
        yield
        over.set()
        thread.join()
    for call in calls:
        call.close()


def test_after_a_silence_the_kept_page_comes(phone: Page, server: Server, silence: None):
    phone.goto(f"{server.url}/units/L07")

    expect(phone.get_by_role("heading", name="Unit, as last heard")).to_be_visible()


@pytest.fixture
def proxy(server: Server) -> Iterator[ThreadingHTTPServer]:
    """In the server's place: a proxy that has lost the server behind it."""
    server.stop()

    class Lost(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(int(getattr(self.server, "status", 502)))
            self.end_headers()
            self.wfile.write(b"The proxy found nobody behind it.")

        def log_message(self, *_words: object) -> None:
            pass

    port = int(server.url.rpartition(":")[2])
    with ThreadingHTTPServer(("127.0.0.1", port), Lost) as made:
        thread = threading.Thread(target=made.serve_forever)
        thread.start()
        yield made
        made.shutdown()
        thread.join()


@pytest.mark.parametrize("status", [502, 503, 504])
def test_a_proxy_that_lost_the_server_is_a_silence(
    phone: Page, server: Server, proxy: ThreadingHTTPServer, status: int
):
    proxy.status = status  # type: ignore[attr-defined]
    phone.goto(f"{server.url}/units/L07")

    expect(phone.get_by_role("heading", name="Unit, as last heard")).to_be_visible()


def test_where_no_page_is_kept_the_words_of_the_proxy_are_shown(
    phone: Page, server: Server, proxy: ThreadingHTTPServer
):
    phone.evaluate(
        "async () => { for (const one of await caches.keys()) await caches.delete(one) }"
    )

    answer_ = phone.goto(f"{server.url}/units/L07")

    assert answer_ is not None
    assert answer_.status == 502
    expect(phone.get_by_text("The proxy found nobody behind it.")).to_be_visible()


def test_a_page_that_says_no_is_shown_as_it_is(server: Server, phone: Page):
    phone.goto(f"{server.url}/board")

    expect(phone.get_by_text("This is for other roles")).to_be_visible()
    assert not [one for one in caches(phone) if "board" in one]
