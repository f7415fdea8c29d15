"""Eight pages as they looked when somebody last looked at them."""

import json
import os
import urllib.request
from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Page

from tests import looks
from tests.bench import walks
from tests.chromium import DESK, PHONE
from tests.server import CREW, Site
from walkaround import clock
from walkaround.rules import instant

pytestmark = pytest.mark.browser

# what it is: the address, who looks, and on what
PAGES = {
    "sign-in": ("/sign-in", None, "phone"),
    "not-checked": ("/units/L07", "Olga Operator", "phone"),
    "walk-begins": ("/units/L07/walkarounds/new", "Olga Operator", "phone"),
    "ok-to-run": ("/units/L08", "Olga Operator", "phone"),
    "tagged-out": ("/units/L09", "Olga Operator", "phone"),
    "defects": ("/defects", "Milan Mechanic", "phone"),
    "board": ("/board", "Sara Supervisor", "desk"),
    "logbook": ("/units/L09/logbook", "Sara Supervisor", "desk"),
}
BROKEN = {
    "plates are gone": ".plate { display: none }",
    "the page is squeezed": "main { max-inline-size: 50% }",
    "the page is pushed aside": "main { transform: translateX(90px) }",
    "the style is lost": "* { all: revert !important }",
}
FONTS = ["serif", "monospace", "DejaVu Sans"]


@pytest.fixture(scope="module")
def shown(live_site: Site) -> Site:
    """Three loaders: nobody has walked one, one may run, one is tagged out."""
    token = live_site.command("token", "add", "--crew-number", CREW["Olga Operator"][0])
    for number in ("L08", "L09"):
        live_site.command("unit", "add", "--number", number, "--machine", "wheel loader")
        bad = {"item": "horn", "answer": "defect", "note": "Silent."} if number == "L09" else None
        walk = walks.entry(number, clock.now(), 84)
        walk["body"]["answers"] = [
            bad if bad and one["item"] == "horn" else one for one in walk["body"]["answers"]
        ]
        hand_in(live_site, token, walk)
    return live_site


def hand_in(site: Site, token: str, walk: dict[str, object]) -> None:
    batch = {"sent_at": instant.text(clock.now()), "entries": [walk]}
    request = urllib.request.Request(
        f"{site.url}/api/v1/entries",
        json.dumps(batch).encode(),
        {"Authorization": f"Bearer {token}", "Content-Type": "application/json"},
    )
    with urllib.request.urlopen(request) as answer:
        assert json.load(answer)["results"][0]["result"] == "accepted"


@pytest.fixture(scope="module")
def contexts(
    shown: Site, browser: object
) -> Iterator[dict[tuple[str | None, str], BrowserContext]]:
    """A signed-in browser for each who and what."""
    made = {}
    for who, device in dict.fromkeys((who, device) for _, who, device in PAGES.values()):
        context = browser.new_context(**(PHONE if device == "phone" else DESK))  # type: ignore[attr-defined]
        page = context.new_page()
        page.goto(shown.command("phone", "add").split()[-1])
        if who:
            page.locator("#crew_number").fill(CREW[who][0])
            page.locator("#pin").fill(CREW[who][2])
            page.locator("main form button").click()
            page.wait_for_load_state()
        made[who, device] = context
    yield made
    for context in made.values():
        context.close()


def opened(name: str, site: Site, contexts: dict[tuple[str | None, str], BrowserContext]) -> Page:
    address, who, device = PAGES[name]
    page = contexts[who, device].new_page()
    page.goto(site.url + address, wait_until="networkidle")
    return page


@pytest.mark.parametrize("name", PAGES)
def test_a_page_looks_as_it_did(name: str, shown: Site, contexts):
    page = opened(name, shown, contexts)
    now = looks.small(page.screenshot())
    if os.environ.get("LOOKS") == "new":
        now.save(looks.STORED / f"{name}.png", optimize=True)

    assert looks.differing(now, looks.stored(name)) <= looks.MOST
    page.close()


@pytest.mark.parametrize("font", FONTS)
def test_another_font_makes_no_difference(font: str, shown: Site, contexts):
    for name in PAGES:
        page = opened(name, shown, contexts)
        page.evaluate(restyle(f"html {{ font-family: {font} }}"))

        assert looks.differing(looks.small(page.screenshot()), looks.stored(name)) <= looks.MOST
        page.close()


@pytest.mark.parametrize("fault", BROKEN)
def test_a_broken_layout_is_noticed(fault: str, shown: Site, contexts):
    page = opened("tagged-out", shown, contexts)
    page.evaluate(restyle(BROKEN[fault]))

    found = looks.differing(looks.small(page.screenshot()), looks.stored("tagged-out"))

    assert found > looks.MOST
    page.close()


def restyle(css: str) -> str:
    """Return a script that adds rules as the policy allows it: by a constructed sheet."""
    sheet = json.dumps(css)
    add = "document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet]"
    return f"(() => {{ const sheet = new CSSStyleSheet(); sheet.replaceSync({sheet}); {add} }})()"
