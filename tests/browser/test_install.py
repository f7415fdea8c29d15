"""Putting the program on the home screen: what Chromium makes of it, what the page says of it."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.chromium import FLAGS, PHONE, Open
from tests.server import CREW, Site

pytestmark = pytest.mark.browser

BUTTON = "Put Walkaround on the home screen"
# Nobody can make Chromium offer it on demand: this is what it then sends
# (https://wicg.github.io/manifest-incubations/, BeforeInstallPromptEvent).
OFFER = """() => {
  const event = new Event("beforeinstallprompt", {cancelable: true})
  event.prompt = async () => { globalThis.prompted = (globalThis.prompted ?? 0) + 1 }
  dispatchEvent(event)
  return event.defaultPrevented
}"""
# from memory: what an iPhone's browsers have and no other
APPLE = "Object.defineProperty(navigator, 'standalone', {value: false})"
# Chromium trusts this machine's own address without HTTPS
PLAIN = "Object.defineProperty(globalThis, 'isSecureContext', {value: false})"
# Opened from the home screen, which Chromium's tools cannot feign here
STANDALONE = """globalThis.matchMedia = new Proxy(matchMedia, {apply: (ask, window, [query]) =>
  ask.call(window, query === "(display-mode: standalone)" ? "all" : query)})"""
OPENED_THERE = [STANDALONE, "Object.defineProperty(navigator, 'standalone', {value: true})"]


def more(site: Site, phone: BrowserContext, script: str = "") -> Page:
    """Sign in and open the page of further places, in a browser that differs by a script."""
    number, _, pin = CREW["Olga Operator"]
    if script:
        phone.add_init_script(script)
    page = phone.new_page()
    page.goto(site.command("phone", "add").split()[-1])
    page.locator("#crew_number").fill(number)
    page.locator("#pin").fill(pin)
    page.locator("main form button").click()
    page.wait_for_url("**/units")
    page.goto(f"{site.url}/more")
    page.wait_for_selector("[data-module='install-app'][data-started]", state="attached")
    return page


def shown(page: Page) -> set[str]:
    """Return which words stand there."""
    parts = page.locator("[data-module='install-app'] [data-part]:visible")
    return set(parts.evaluate_all("found => found.map(one => one.dataset.part)"))


def test_chromium_reads_the_manifest_without_complaint(live_site: Site, open_phone: Open):
    page = open_phone().new_page()
    page.goto(f"{live_site.url}/scan")

    found = page.context.new_cdp_session(page).send("Page.getAppManifest")

    assert found["url"] == f"{live_site.url}/manifest.webmanifest"
    assert found["errors"] == []
    read = found["manifest"]
    assert (read["id"], read["startUrl"]) == (f"{live_site.url}/", f"{live_site.url}/")
    written = json.loads(found["data"])
    for name in ("icons", "screenshots", "shortcuts"):
        assert len(read[name]) == len(written[name]), name


@pytest.fixture
def lasting(browser: Browser, tmp_path: Path) -> Iterator[BrowserContext]:
    """A browser that remembers: in a passing one Chromium installs nothing."""
    context = browser.browser_type.launch_persistent_context(
        tmp_path, executable_path=shutil.which("chromium"), args=FLAGS, **PHONE
    )
    yield context
    context.close()


def hindrances(site: Site, context: BrowserContext) -> list[str]:
    """Return why Chromium would not install what it sees."""
    page = context.new_page()
    page.goto(f"{site.url}/scan")
    found = context.new_cdp_session(page).send("Page.getInstallabilityErrors")
    return [error["errorId"] for error in found["installabilityErrors"]]


def test_chromium_would_install_it(live_site: Site, lasting: BrowserContext):
    assert hindrances(live_site, lasting) == []


def test_without_its_icons_chromium_would_not(live_site: Site, lasting: BrowserContext):
    lasting.route("**/install/*", lambda route: route.abort())

    (why,) = hindrances(live_site, lasting)
    assert "icon" in why


def test_an_offer_of_the_browser_becomes_a_button_that_takes_it_up(
    live_site: Site, open_phone: Open
):
    page = more(live_site, open_phone())
    assert shown(page) == set()

    assert page.evaluate(OFFER)
    expect(page.get_by_role("button", name=BUTTON)).to_be_visible()
    page.get_by_role("button", name=BUTTON).tap()

    expect(page.get_by_role("button", name=BUTTON)).to_be_hidden()
    assert page.evaluate("prompted") == 1


@pytest.mark.parametrize("script", OPENED_THERE, ids=["standard", "apple"])
def test_on_the_home_screen_nothing_is_said_of_it(live_site: Site, open_phone: Open, script: str):
    page = more(live_site, open_phone(), script)

    assert page.evaluate(OFFER)

    assert page.evaluate("document.querySelector('[data-module=install-app]').hidden")
    assert shown(page) == set()


@pytest.mark.parametrize(
    ("script", "part", "words"),
    [(APPLE, "share", "Add to Home Screen"), (PLAIN, "insecure", "begins with https")],
    ids=["apple", "plain"],
)
def test_where_no_offer_comes_words_say_what_to_do(
    live_site: Site, open_phone: Open, script: str, part: str, words: str
):
    page = more(live_site, open_phone(), script)

    expect(page.get_by_text(words)).to_be_visible()
    assert shown(page) == {part}
