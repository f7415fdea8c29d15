"""The mechanic at work in a real browser: from the list to the cleared defect, by tapping."""

import io
import json
import urllib.request
import uuid
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import BrowserContext, Page, expect

from tests.chromium import Open
from tests.server import CREW, Site
from walkaround.rules import instant

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def operators_token(live_site: Site) -> str:
    return live_site.command("token", "add", "--crew-number", CREW["Olga Operator"][0])


@pytest.fixture(scope="module")
def photo() -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (640, 480), "grey").save(file, "JPEG")
    return file.getvalue()


def found(site: Site, token: str, **body: Any) -> str:
    """Let the operator report a defect of L07 through the API; return its id."""
    now = instant.text(int(datetime.now(UTC).timestamp()) * 1000)
    entry = {"id": str(uuid.uuid4()), "kind": "defect", "unit": "L07", "made_at": now, "body": body}
    request = urllib.request.Request(
        f"{site.url}/api/v1/entries",
        json.dumps({"sent_at": now, "entries": [entry]}).encode(),
        {"Authorization": f"Bearer {token}", "Content-Type": "application/json"},
    )
    with urllib.request.urlopen(request) as answer:
        (result,) = json.load(answer)["results"]
    assert result["result"] == "accepted"
    return str(result["id"])


def signed_in(context: BrowserContext, site: Site) -> Page:
    """Enrol this browser and sign the mechanic in; the page is the list of defects."""
    page = context.new_page()
    page.goto(site.command("phone", "add").split()[-1])
    number, _, pin = CREW["Milan Mechanic"]
    page.get_by_label("Crew number").fill(number)
    page.get_by_label("PIN").fill(pin)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Defects")
    return page


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "plain"])
def test_from_the_list_to_the_cleared_line(
    live_site: Site, operators_token: str, open_phone: Open, scripts: bool
):
    words = f"Mirror loose ({'scripts' if scripts else 'plain'})"
    found(live_site, operators_token, what=words)
    page = signed_in(open_phone(scripts=scripts), live_site)

    page.locator(".row").filter(has_text=words).get_by_role("link").click()
    page.get_by_role("link", name="Clear it").click()
    page.get_by_label("Repaired").check()
    page.get_by_label("What was done").fill("Arm tightened")
    page.get_by_role("button", name="Sign and clear it").click()

    expect(page.locator("main")).to_contain_text("Cleared, and signed with your name.")
    expect(page.locator("main")).to_contain_text("Arm tightened")
    page.get_by_role("link", name="Defects").click()
    expect(page.locator("main")).not_to_contain_text(words)


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "plain"])
def test_a_line_is_deferred_and_the_deferral_withdrawn(
    live_site: Site, operators_token: str, open_phone: Open, scripts: bool
):
    id = found(live_site, operators_token, what="Seat cover torn")
    page = signed_in(open_phone(scripts=scripts), live_site)

    page.goto(f"{live_site.url}/defects/L07/{id}")
    page.get_by_role("link", name="Defer it").click()
    page.get_by_label("Restrictions").fill("By daylight only.")
    tomorrow = (datetime.now(UTC) + timedelta(days=2)).date().isoformat()
    page.get_by_label("Until the end of").fill(tomorrow)
    page.get_by_role("button", name="Sign and defer it").click()
    expect(page.locator("main")).to_contain_text("By daylight only.")

    page.get_by_role("link", name="Withdraw it").click()
    page.get_by_label("Why").fill("It got worse.")
    page.get_by_role("button", name="Sign and withdraw it").click()

    expect(page.locator("main")).to_contain_text("Open: it tags L07 out")


def test_a_photo_of_the_work_stands_beside_it(
    live_site: Site, operators_token: str, open_phone: Open, photo: bytes
):
    id = found(live_site, operators_token, what="Lamp dark")
    page = signed_in(open_phone(), live_site)
    page.goto(f"{live_site.url}/defects/L07/{id}/clearing")

    page.get_by_label("Repaired").check()
    page.get_by_label("What was done").fill("New lamp")
    file = {"name": "after.jpg", "mimeType": "image/jpeg", "buffer": photo}
    page.get_by_label("Photos").set_input_files(file)
    page.get_by_role("button", name="Sign and clear it").click()

    picture = page.locator(".photos__picture")
    expect(picture).to_have_count(1)
    assert picture.evaluate("image => image.decode().then(() => image.naturalWidth)") > 0


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_axe_finds_nothing_on_the_pages(
    live_site: Site, operators_token: str, open_phone: Open, dark: bool
):
    # rules of axe-core: https://github.com/dequelabs/axe-core/blob/develop/doc/rule-descriptions.md
    id = found(live_site, operators_token, what="Step bent")
    page = signed_in(open_phone(dark=dark), live_site)

    for path in ("", f"/L07/{id}", f"/L07/{id}/clearing", f"/L07/{id}/deferral"):
        page.goto(f"{live_site.url}/defects{path}")
        result = Axe().run(page)
        assert result.violations_count == 0, f"{path}: {result.generate_report()}"


def test_nothing_is_wider_than_a_small_phone(
    live_site: Site, operators_token: str, open_phone: Open
):
    id = found(live_site, operators_token, what="x" * 300)
    page = signed_in(open_phone(viewport={"width": 320, "height": 640}), live_site)

    for path in ("", f"/L07/{id}", f"/L07/{id}/clearing", f"/L07/{id}/deferral"):
        page.goto(f"{live_site.url}/defects{path}")
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, path
