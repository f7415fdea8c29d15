"""Every page in both themes and languages: what axe finds, what scrolls sideways at 320 px."""

import json
import sqlite3
import urllib.request
import uuid
from contextlib import closing
from datetime import UTC, datetime, timedelta
from typing import Any, Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page, expect

from tests.away import HAS_KEPT, until
from tests.browser.test_operator import GUARD, here, jump
from tests.server import Site

pytestmark = pytest.mark.browser

ADDRESSES = [
    "/board",
    "/defects",
    "/defects/L07/{critical}",
    "/defects/L07/{deferred}",
    "/defects/L07/{critical}/clearing",
    "/defects/L07/{plain}/deferral",
    "/doubts",
    "/refused",
    "/refused/{stray}/entering",
    "/refused/{unreadable}/entering",
    "/refused/{unreadable}/note",
    "/entries/{walk}/correction",
    "/fleet/new",
    "/labels",
    "/more",
    "/people",
    "/people/new",
    "/people/900/change",
    "/people/900/leaving",
    "/phones",
    "/phones/new",
    "/scan",
    "/sign-in",
    "/units",
    "/units/L07",
    "/units/L08",
    "/units/L07/change",
    "/units/L07/defects/new",
    "/units/L07/holds/new",
    "/units/L07/holds/{hold}/release",
    "/units/L07/fills/new",
    "/units/L07/hours/new",
    "/units/L07/label/replacement",
    "/units/L07/lay-ups/new",
    "/units/L07/logbook",
    "/units/L07/meter/change",
    "/units/L07/walkarounds/new",
    "/units/L07/walkarounds/new?occasion=end_of_shift",
    "/units/L07/walkarounds/{walk}",
    "/nowhere",
]
# By night only the colours are others. Tags of axe-core's rules:
# https://github.com/dequelabs/axe-core/blob/develop/doc/API.md#axe-core-tags
RULES: dict[Literal["light", "dark"], dict[str, Any]] = {
    "light": {},
    "dark": {"runOnly": ["cat.color"]},
}
# What a phone keeps for when there is no signal, and what scripts have filled in there.
KEPT = {
    "/kept/way": "[data-part=nothing] a",
    "/kept/units": "[data-part=units] .plate",
    "/kept/unit?unit=L07": "[data-part=lines] a",
    "/kept/clear?unit=L07&defect={plain}": "[data-part=who]:not(:empty)",
    "/kept/hours?unit=L07": "[data-part=who]:not(:empty)",
    "/kept/fill?unit=L07": "[data-part=who]:not(:empty)",
    "/kept/result?entry=bad": "[data-part=reasons] > li",
    "/kept/result?entry=refused": "[data-part=state] p + p",
    "/waiting": "[data-part=begun] a",
    "/kept/walkarounds/{list}?unit=L07": ".walk--steps [data-part=next]",
    "/kept/reports/{list}?unit=L07": "[data-part=who]:not(:empty)",
}
# One entry in each state that it can have on a phone, and a walk that is begun.
RECORD = """async () => {
  const start = document.querySelector("script[type=module]").src
  const { put } = await import(start.replace("start.js", "db.js"))
  const now = Date.now()
  const found = [{ id: "x", text: "Horn: silent", covered: false }]
  const walk = { kind: "walkaround", unit: "L07", body: {} }
  const kept = { entry: walk, found, photos: [], by: "900", stops: true, kept_at: now, n: 1 }
  await put("entry", { ...kept, id: "bad", state: "waiting" })
  await put("entry", { ...kept, id: "sent", state: "sent", sent_at: now })
  await put("entry", { ...kept, id: "doubtful", state: "unconfirmed", sent_by: "101" })
  await put("entry", { ...kept, id: "refused", state: "refused", why: "There is no unit L70." })
  const draft = { unit: "L08", by: "900", checklist: "c", version: "v", units: "", pairs: [] }
  await put("draft", { ...draft, name: "walk", title: "List", photos: [], started_at: now })
}"""


@pytest.fixture(scope="module")
def named(live_site: Site) -> dict[str, str]:
    """Somebody with every role, and one thing of each kind; return the ids by their names."""
    roles = ["--role", "operator", "--role", "mechanic", "--role", "supervisor"]
    live_site.command(
        "person", "add", "--name", "Alma All-Roles", "--crew-number", "900", *roles, "--pin", "5283"
    )
    live_site.command("unit", "add", "--number", "L08", "--machine", "wheel loader")
    token = live_site.command("token", "add", "--crew-number", "900")
    ids = {
        "critical": send(live_site, token, "defect", what="Pedal goes down slowly", critical=True),
        "plain": send(live_site, token, "defect", what="Mirror cracked"),
        "deferred": send(live_site, token, "defect", what="Seat torn"),
        "hold": send(live_site, token, "hold", reason="Blasting in field 3"),
    }
    until = text(datetime.now(UTC) + timedelta(days=2))
    send(live_site, token, "defer", defects=[ids["deferred"]], restrictions="Day only", until=until)
    send(live_site, token, "walkaround", accepted="refused", answers="unreadable")
    walk = {
        "checklist": "x",
        "version": "y",
        "started_at": text(),
        "finished_at": text(),
        "answers": [],
    }
    stray = walk | {"started_at": "early"}
    send(live_site, token, "walkaround", accepted="refused", unit="L70", **stray)
    refused = refusals(live_site)
    ids |= {"unreadable": refused["L07"], "stray": refused["L70"]}
    ids["list"] = start_list(live_site, token)
    return ids | {"walk": send(live_site, token, "walkaround", **walk)}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("address", ADDRESSES)
def test_axe_finds_nothing_by_day_or_night(
    live_site: Site,
    named: dict[str, str],
    signed: dict[str, BrowserContext],
    address: str,
    language: str,
):
    page = signed[language].new_page()
    page.goto(live_site.url + address.format(**named))

    assert page.get_attribute("html", "lang") == language
    assert not violations(page)
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    page.close()


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("address", KEPT)
def test_axe_finds_nothing_on_what_a_phone_keeps(
    live_site: Site,
    named: dict[str, str],
    signed: dict[str, BrowserContext],
    address: str,
    language: str,
):
    page = signed[language].new_page()
    page.goto(live_site.url + address.format(**named))
    expect(page.locator(KEPT[address]).first).to_be_visible()

    assert page.get_attribute("html", "lang") == language
    assert not violations(page)
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    page.close()


@pytest.mark.parametrize("language", ["en", "es"])
def test_axe_finds_nothing_on_the_steps_of_a_walk(
    live_site: Site, signed: dict[str, BrowserContext], language: str
):
    page = signed[language].new_page()
    page.goto(f"{live_site.url}/units/L08/walkarounds/new")
    expect(page.locator(".walk--steps")).to_be_visible()
    steps = page.locator("[data-step]").evaluate_all("found => found.map(step => step.id)")
    pressure = next(place for place, id in enumerate(steps) if "pressure" in id)

    for place in (1, pressure, len(steps) - 1):
        jump(page, place)
        assert not violations(page), steps[place]
    for place, answer in ((1, "defect"), (2, "could_not_check")):
        jump(page, place)
        page.wait_for_timeout(GUARD)
        here(page).locator(".answer").filter(has=page.locator(f"[value={answer}]")).click()
        expect(page.locator(".step--more:visible")).to_have_count(1)
        assert not violations(page), answer
    page.close()


def violations(page: Page) -> list[tuple[str, str, str]]:
    """Return what axe finds by day and by night: theme, rule, and where first."""
    found = []
    for theme, rules in RULES.items():
        page.emulate_media(color_scheme=theme)
        result = Axe().run(page, options={"resultTypes": ["violations"], **rules})
        for one in result.response["violations"]:
            found.append((theme, one["id"], one["nodes"][0]["html"]))
    return found


@pytest.fixture(scope="module")
def signed(live_site: Site, named: dict[str, str], browser: Any) -> dict[str, BrowserContext]:
    """A phone in each language, signed in."""
    return {language: sign_in(live_site, browser, language) for language in ("en", "es")}


def sign_in(site: Site, browser: Any, language: str) -> BrowserContext:
    phone = {"viewport": {"width": 390, "height": 844}, "locale": language}
    context: BrowserContext = browser.new_context(**phone)
    page: Page = context.new_page()
    page.goto(site.command("phone", "add"))
    page.locator("#crew_number").fill("900")
    page.locator("#pin").fill("5283")
    page.locator("main form button").click()
    page.wait_for_url("**/board")
    until(page, HAS_KEPT)
    context.route("**/api/v1/me", lambda route: route.abort())  # so that nothing leaves the phone
    page.evaluate(RECORD)
    return context


def start_list(site: Site, token: str) -> str:
    """Return name and version of the list by which L07 is walked."""
    address = f"{site.url}/api/v1/units/L07/checklist"
    request = urllib.request.Request(address, headers={"Authorization": f"Bearer {token}"})
    with urllib.request.urlopen(request) as answer:
        held = json.load(answer)
    return f"{held['checklist']}/{held['version']}"


def refusals(site: Site) -> dict[str, str]:
    """Return the id of what was refused, by the unit that it named."""
    with closing(sqlite3.connect(site.data / "walkaround.db")) as db:
        return dict(db.execute("select unit, id from refused"))


def send(
    site: Site,
    token: str,
    kind: str,
    accepted: str = "accepted",
    unit: str = "L07",
    **body: Any,
) -> str:
    """Send an entry as a program does; return its id."""
    id = str(uuid.uuid4())
    entry = {"id": id, "kind": kind, "unit": unit, "made_at": text(), "body": body}
    request = urllib.request.Request(
        f"{site.url}/api/v1/entries",
        json.dumps({"sent_at": text(), "entries": [entry]}).encode(),
        {"Authorization": f"Bearer {token}", "Content-Type": "application/json"},
    )
    with urllib.request.urlopen(request) as answer:
        (result,) = json.load(answer)["results"]
    assert result["result"] == accepted, result
    return id


def text(moment: datetime | None = None) -> str:
    return (moment or datetime.now(UTC)).strftime("%Y-%m-%dT%H:%M:%SZ")
