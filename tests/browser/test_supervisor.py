"""The supervisor in a real browser: the board that keeps itself, and the office without scripts."""

import json
import re
import urllib.request
import uuid
from datetime import UTC, datetime
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page, expect

from tests.chromium import Open
from tests.server import CREW, Site
from walkaround.actions.add_unit import add_unit
from walkaround.rules import instant
from walkaround.store.db import make_engine, make_session

pytestmark = pytest.mark.browser

PAGES = [
    "/board",
    "/more",
    "/people",
    "/people/new",
    "/people/101/change",
    "/people/101/leaving",
    "/phones",
    "/phones/new",
    "/labels",
    "/doubts",
    "/refused",
    "/fleet/new",
    "/units/L07/change",
    "/units/L07/logbook",
    "/units/L07/holds/new",
    "/units/L07/lay-ups/new",
    "/units/L07/meter/change",
    "/units/L07/hours/new",
    "/units/L07/label/replacement",
]


@pytest.fixture(scope="module")
def fleet(live_site: Site) -> Site:
    """The site with so many units that the board must be scrolled."""
    engine = make_engine(f"sqlite:///{live_site.data / 'walkaround.db'}")
    with make_session(engine, "Gravel pit") as db:
        for number in range(40):
            add_unit(db, f"T{number:02}", "haul truck", instant.parse("2026-01-01T00:00:00Z"))
    engine.dispose()
    return live_site


@pytest.fixture(scope="module")
def token(live_site: Site) -> str:
    return live_site.command("token", "add", "--crew-number", CREW["Sara Supervisor"][0])


def test_the_board_refreshes_without_moving_what_is_read(fleet: Site, token: str, open_desk: Open):
    page = signed_in(open_desk(), fleet)
    watched = page.locator('[href="/units/T30"]')
    watched.scroll_into_view_if_needed()
    watched.focus()
    page.evaluate("scrollBy(0, 100)")
    top = watched.bounding_box()["y"]
    counts = page.locator("h1").text_content()

    send(fleet, token, "hold", "T01", reason="A long reason that makes the page higher. " * 8)
    look(page)

    expect(page.locator("h1")).not_to_have_text(counts or "")
    expect(page.get_by_text("Hold: A long reason")).to_be_attached()
    assert page.locator('[href="/units/T30"]').bounding_box()["y"] == pytest.approx(top, abs=1)
    assert page.evaluate("document.activeElement.getAttribute('href')") == "/units/T30"


def test_the_board_asks_by_itself_and_hears_that_nothing_changed(fleet: Site, open_desk: Open):
    page = signed_in(open_desk(), fleet)

    with page.expect_response(re.compile("/board$"), timeout=20_000) as answer:
        pass  # the module's own pause

    assert answer.value.status == 304


def test_the_board_says_when_the_server_is_silent_and_when_it_is_back(fleet: Site, open_desk: Open):
    page = signed_in(open_desk(), fleet)
    heard = page.locator("[data-part=heard]")
    expect(heard).to_have_text(re.compile(r"Heard from the server at \d\d:\d\d:\d\d\."))

    page.route("**/board", lambda route: route.abort())
    look(page)
    expect(heard).to_contain_text("No answer from the server since")
    expect(heard).to_have_attribute("role", "alert")

    page.unroute("**/board")
    look(page)
    expect(heard).to_contain_text("Heard from the server")


def test_a_board_whose_session_ended_leads_to_the_sign_in(fleet: Site, open_desk: Open):
    context = open_desk()
    page = signed_in(context, fleet)

    context.clear_cookies(name="walkaround-session")
    look(page)

    expect(page).to_have_url(re.compile("/sign-in"))


def test_holding_releasing_and_correcting_work_without_scripts(fleet: Site, open_phone: Open):
    page = signed_in(open_phone(scripts=False), fleet)
    page.goto(f"{fleet.url}/units/T05")
    page.get_by_role("link", name="Hold it").click()
    page.get_by_label("Why").fill("Blasting in field 3")
    page.get_by_role("button", name="Hold it").click()
    expect(page.locator("h1")).to_have_text("Tagged out")

    page.get_by_role("link", name="Release it").click()
    page.get_by_label("Why").fill("Over")
    page.get_by_role("button", name="Release it").click()
    expect(page.locator("h1")).to_have_text("Not checked")

    page.get_by_role("link", name="Logbook").click()
    page.get_by_role("link", name="Correct it 1").click()
    page.get_by_label("What was wrong").fill("It was field 4")
    page.get_by_role("button", name="Enter the correction").click()
    expect(page.get_by_text("It was field 4")).to_be_visible()


def test_a_new_phone_is_enrolled_by_the_code_that_is_shown(fleet: Site, open_desk: Open):
    page = signed_in(open_desk(), fleet)
    page.goto(f"{fleet.url}/phones/new")
    page.get_by_label("What it is called").fill("Cab of T05")
    page.get_by_role("button", name="Show the code").click()
    link = page.locator(".code__link").get_attribute("href")

    other = open_desk().new_page()
    other.goto(link or "")

    expect(other.get_by_label("Crew number")).to_be_visible()
    page.get_by_role("link", name="← Phones").click()
    expect(page.locator(".row__title", has_text="Cab of T05")).to_be_visible()


@pytest.mark.parametrize("dark", [False, True])
def test_nothing_on_the_pages_of_the_office_bars_anybody(
    fleet: Site, token: str, open_phone: Open, dark: bool
):
    send(fleet, token, "walkaround", "T06", answers="none")
    send(fleet, token, "lay_up", "T07", reason="no work")
    page = signed_in(open_phone(dark=dark), fleet)

    for path in PAGES:
        page.goto(f"{fleet.url}{path}")
        found = Axe().run(page)
        assert found.violations_count == 0, f"{path}: {found.generate_report()}"
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, path


def signed_in(context: BrowserContext, site: Site) -> Page:
    """Enrol this browser and sign the supervisor in; the page is the board."""
    page = context.new_page()
    page.goto(site.command("phone", "add").split()[-1])
    number, _, pin = CREW["Sara Supervisor"]
    page.get_by_label("Crew number").fill(number)
    page.get_by_label("PIN").fill(pin)
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator("h1")).to_have_text(re.compile("tagged out"))
    return page


def look(page: Page) -> None:
    """Let the board ask now, as it does when its window comes to the front again."""
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def send(site: Site, token: str, kind: str, unit: str, **body: Any) -> None:
    """Send an entry as a program does."""
    now = instant.text(int(datetime.now(UTC).timestamp()) * 1000)
    entry = {"id": str(uuid.uuid4()), "kind": kind, "unit": unit, "made_at": now, "body": body}
    request = urllib.request.Request(
        f"{site.url}/api/v1/entries",
        json.dumps({"sent_at": now, "entries": [entry]}).encode(),
        {"Authorization": f"Bearer {token}", "Content-Type": "application/json"},
    )
    with urllib.request.urlopen(request) as answer:
        assert answer.status == 200
