"""The service worker: whole releases, a new one by a tap, and nobody's name in what is kept."""

import contextlib
import re
import shutil
import socket
import threading
import urllib.request
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.away import Server, answer, begin, here, stored
from tests.server import CREW, TOP

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


def test_a_page_that_says_no_is_shown_as_it_is(server: Server, phone: Page):
    phone.goto(f"{server.url}/board")

    expect(phone.get_by_text("This is for other roles")).to_be_visible()
    assert not [one for one in caches(phone) if "board" in one]
