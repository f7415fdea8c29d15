"""A phone away from a signal: a server that stops and starts, and hands that walk short lists."""

import json
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.chromium import Open
from tests.pictures import telling
from tests.server import CREW, TOP, Site, free_port, serve, set_up, stop

GUARD = 400  # milliseconds: the walk takes no second tap for a little less
LISTS = TOP / "tests" / "lists"

HAS_KEPT = """async () => {
  const start = document.querySelector("script[type=module]").src
  const { get } = await import(start.replace("start.js", "db.js"))
  return Boolean(await get("phone", "pages"))
}"""


# The walk can be begun: its scripts listen and its first step is shown.
USABLE = """
new MutationObserver((_, observer) => {
  const form = document.querySelector(".walk--steps:not([hidden])")
  if (!form || !form.querySelector("[data-step]:not([hidden])")) return
  globalThis.usable = performance.now()
  observer.disconnect()
}).observe(document, { subtree: true, childList: true, attributes: true })
"""


@dataclass
class Server:
    """The site's server, which a test stops and starts again."""

    site: Site
    process: subprocess.Popen[bytes] | None = field(default=None)

    @property
    def url(self) -> str:
        return self.site.url

    def start(self) -> None:
        self.process = self.process or serve(self.site)

    def stop(self) -> None:
        if self.process:
            stop(self.process)
        self.process = None

    def logbook(self, unit: str = "L07") -> list[dict[str, Any]]:
        """Return a unit's entries, oldest first, after every chain was verified."""
        self.site.command("logbook", "verify")
        file = self.site.data / "export.jsonl"
        self.site.command("logbook", "export", unit, "--out", str(file))
        return [json.loads(line) for line in file.read_text().splitlines()]

    def kinds(self, kind: str, unit: str = "L07") -> list[dict[str, Any]]:
        """Return a unit's entries of one kind."""
        return [entry for entry in self.logbook(unit) if entry["kind"] == kind]


@pytest.fixture(scope="session")
def small_site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """A site with the short lists of the tests, so that a walk takes seconds; others copy it."""
    site = Site(tmp_path_factory.mktemp("small") / "site", "http://127.0.0.1:1", checklists=LISTS)
    set_up(site)
    return site


@pytest.fixture
def server(tmp_path: Path, small_site: Site) -> Iterator[Server]:
    """A site of its own on a running server."""
    data = shutil.copytree(small_site.data, tmp_path / "site")
    url = f"http://127.0.0.1:{free_port()}"
    running = Server(replace(small_site, data=data, url=url))
    running.start()
    yield running
    running.stop()


@pytest.fixture
def phone(server: Server, open_phone: Open) -> Page:
    """A phone on which the operator has signed in, and which has kept what it needs."""
    return signed_in(server, open_phone())


def signed_in(server: Server, context: BrowserContext, who: str = "Olga Operator") -> Page:
    """Enrol a phone, sign in and wait until it has kept what it needs."""
    page = context.new_page()
    page.goto(server.site.command("phone", "add").split()[-1])
    sign_in(page, who)
    until(page, HAS_KEPT)
    return page


def until(page: Page, expression: str) -> None:
    """Wait until a promise of the page's comes true (wait_for_function does not wait for one)."""
    for _ in range(200):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(100)
    pytest.fail(f"never true: {expression}")


def sign_in(page: Page, who: str) -> None:
    number, _, pin = CREW[who]
    page.locator("#crew_number").fill(number)
    page.locator("#pin").fill(pin)
    page.locator("main form button").first.click()
    page.wait_for_url(lambda url: "/sign-in" not in url)


def here(page: Page) -> Locator:
    """Return the step that is shown."""
    return page.locator(".walk--steps [data-step]:visible")


def move_on(page: Page, target: Locator) -> None:
    """Tap what leads to another step, and wait until that one shows and takes taps."""
    before = here(page).element_handle()
    target.tap()
    before.wait_for_element_state("hidden")
    page.wait_for_timeout(GUARD)


def begin(page: Page) -> None:
    move_on(page, page.get_by_role("button", name="Begin"))


def walk(page: Page, bad: str = "") -> None:
    """Answer every step that is left; the one whose item is `bad` is found bad, with a photo."""
    while page.locator(".stop:visible").count():
        answer(page, is_bad=here(page).get_attribute("data-item") == bad)
    hours = page.locator("#hours")
    if not hours.input_value():
        hours.fill("84")


def answer(page: Page, *, is_bad: bool = False) -> None:
    """Answer the step that is shown."""
    number = here(page).locator(".number-pad__input")
    if number.count():
        number.fill("350")
    if is_bad:
        find_bad(page)
    else:
        good = page.locator("[value=in_order], [value=value]")
        move_on(page, here(page).locator(".answer").filter(has=good))


def find_bad(page: Page) -> None:
    here(page).locator(".answer").filter(has=page.locator("[value=defect]")).tap()
    here(page).locator(".choice").first.tap()
    here(page).locator("textarea").fill("Since this morning")
    picture = {"name": "seen.jpg", "mimeType": "image/jpeg", "buffer": telling()}
    here(page).locator("[type=file]").set_input_files(picture)
    expect(here(page)).to_contain_text("The photo is kept.")
    page.wait_for_timeout(GUARD)
    move_on(page, here(page).get_by_role("button", name="Next"))


def sign(page: Page) -> None:
    """Sign at the end of a walk, with a signal or without one."""
    page.locator("#sign button.button--main").tap()


def walk_away(server: Server, phone: Page, bad: str = "") -> None:
    """Walk L07 with no server there, and sign."""
    server.stop()
    phone.goto(f"{server.url}/units/L07")
    phone.get_by_role("link", name="Walk round it").tap()
    begin(phone)
    walk(phone, bad)
    sign(phone)


def stored(page: Page, store: str) -> list[Any]:
    """Return what the phone keeps in a store; bytes as their number."""
    return list(
        page.evaluate(
            """async (store) => {
              const start = document.querySelector("script[type=module]").src
              const { all } = await import(start.replace("start.js", "db.js"))
              const plain = (value) => (value instanceof ArrayBuffer ? value.byteLength : value)
              return (await all(store)).map((one) => ({ ...one, bytes: plain(one.bytes) }))
            }""",
            store,
        )
    )


def sent(page: Page) -> None:
    """Send what waits, and wait until nothing does."""
    page.goto(page.url.split("/", 3)[0] + "//" + page.url.split("/", 3)[2] + "/waiting")
    page.locator("[data-part=send]").evaluate("(button) => button.click()")
    expect(page.get_by_text("Nothing waits.")).to_be_visible()
