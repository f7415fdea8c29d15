"""Away from a signal: the server is stopped, the phone goes on, and everything arrives once."""

import json
import subprocess
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.test_operator import GUARD, good, here
from tests.chromium import Open
from tests.pictures import jpeg
from tests.server import CREW, Site, free_port, serve, set_up, stop

pytestmark = pytest.mark.browser


class Server:
    """The site's server, which a test stops and starts again."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.process: subprocess.Popen[bytes] | None = serve(site)

    def stop(self) -> None:
        if self.process:
            stop(self.process)
        self.process = None

    def start(self) -> None:
        self.process = self.process or serve(self.site)


@pytest.fixture(scope="module")
def away_site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    site = Site(tmp_path_factory.mktemp("away"), f"http://127.0.0.1:{free_port()}")
    set_up(site)
    return site


@pytest.fixture
def server(away_site: Site) -> Iterator[Server]:
    running = Server(away_site)
    yield running
    running.stop()


def signed_in(server: Server, open_phone: Open, who: str = "Olga Operator") -> Page:
    """Return a phone that somebody has signed in on, and that has kept what it needs."""
    number, _, pin = CREW[who]
    page = open_phone().new_page()
    page.goto(server.site.command("phone", "add").split()[-1])
    page.locator("#crew_number").fill(number)
    page.locator("#pin").fill(pin)
    page.locator("main form button").click()
    has_kept(page)
    return page


def has_kept(page: Page) -> None:
    """Wait until the phone has the pages of the site's lists."""
    page.wait_for_function(
        """async () => {
          for (const name of await caches.keys()) {
            const all = await (await caches.open(name)).keys()
            if (all.some(({ url }) => url.includes("/kept/reports/"))) return true
          }
          return false
        }"""
    )


def walk(page: Page, bad: str = "") -> None:
    """Answer every step that is shown; the one whose item is `bad` is found bad."""
    page.get_by_role("button", name="Begin").tap()
    page.wait_for_timeout(GUARD)
    while page.locator(".stop:visible").count():
        number = here(page).locator(".number-pad__input")
        if number.count():
            number.fill("350" if "pressure" in str(number.get_attribute("name")) else "50")
        if bad and here(page).get_attribute("data-item") == bad:
            find_bad(page)
        else:
            here(page).locator(".answer").filter(has=good(page)).tap()
        page.wait_for_timeout(GUARD)


def find_bad(page: Page) -> None:
    here(page).locator(".answer").filter(has=page.locator("[value=defect]")).tap()
    here(page).locator(".choice").first.tap()
    here(page).locator("textarea").fill("Since this morning")
    picture = {"name": "seen.jpg", "mimeType": "image/jpeg", "buffer": jpeg()}
    here(page).locator("[type=file]").set_input_files(picture)
    expect(here(page)).to_contain_text("The photo is kept.")
    page.wait_for_timeout(GUARD)
    here(page).get_by_role("button", name="Next").tap()


def logbook(site: Site, unit: str) -> list[dict[str, Any]]:
    """Return a unit's entries, after its chain was verified."""
    site.command("logbook", "verify")
    file = site.data / "export.jsonl"
    site.command("logbook", "export", unit, "--out", str(file))
    return [json.loads(line) for line in file.read_text().splitlines()]


def test_the_whole_story_without_a_server(server: Server, open_phone: Open):
    page = signed_in(server, open_phone)
    label = server.site.command("labels", "--out", str(server.site.data / "labels.pdf"))
    assert label

    server.stop()
    page.goto(f"{server.site.url}/units/L07")
    expect(page.get_by_role("heading", name="Not checked")).to_be_visible()
    page.get_by_role("link", name="Walk round it").tap()
    walk(page, bad="horn")
    page.get_by_label("Hour meter", exact=True).fill("84")
    page.get_by_role("button", name="Sign and keep").tap()

    expect(page.get_by_role("heading", name="Tagged out")).to_be_visible()
    expect(page.locator("main")).to_contain_text("Kept on this phone at")
    page.goto(f"{server.site.url}/waiting")
    page.wait_for_timeout(700)
    page.get_by_role("button", name="Send now").tap()
    page.wait_for_timeout(700)

    server.start()
    page.get_by_role("button", name="Send now").tap()
    expect(page.locator("main")).to_contain_text("Nothing waits")
    (entry,) = [one for one in logbook(server.site, "L07") if one["kind"] == "walkaround"]
    print(
        json.dumps({k: v for k, v in entry.items() if k != "body"}, indent=1),
        json.dumps(entry["body"])[:1500],
    )
    page.goto(f"{server.site.url}/units/L07")
    page.wait_for_timeout(1500)
