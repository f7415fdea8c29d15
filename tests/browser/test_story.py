"""The whole job: from the label's QR to *OK to run*, back after a defect, and to the board."""

from pathlib import Path

import pytest
import zxingcpp
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.chromium import Open
from tests.paper import raster
from tests.server import CREW, Site

pytestmark = pytest.mark.browser

BOUNCE = 360  # milliseconds for which a walk takes no second tap


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "plain"])
def test_from_the_label_to_ok_to_run_and_back_after_a_defect(
    live_site: Site,
    tmp_path: Path,
    open_phone: Open,
    open_desk: Open,
    pytestconfig: pytest.Config,
    scripts: bool,
):
    unit = "L21" if scripts else "L22"
    live_site.command("unit", "add", "--number", unit, "--machine", "wheel loader", "--hours", "84")
    live_site.command("labels", unit, "--out", str(tmp_path / "label.pdf"))
    address = scanned(pytestconfig, (tmp_path / "label.pdf").read_bytes())
    phone = open_phone(scripts=scripts).new_page()

    phone.goto(address)
    expect(phone.locator("main")).to_contain_text("Not checked")
    enrol(live_site, phone, "Olga Operator")
    phone.goto(address)
    expect(phone).to_have_url(f"{live_site.url}/units/{unit}")
    phone.get_by_role("link", name="Walk round it").click()
    walk = walk_by_taps if scripts else walk_in_one_form
    walk(phone, bad="service-brake")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Tagged out")
    expect(phone.locator("main")).to_contain_text("A tag does not isolate energy")

    clear(live_site, open_phone(scripts=scripts), unit)

    phone.goto(f"{live_site.url}/units/{unit}")
    expect(phone.get_by_role("heading", level=1)).to_have_text("OK to run")
    board = open_desk(scripts=scripts).new_page()
    enrol(live_site, board, "Sara Supervisor")
    row = board.locator(".row").filter(has_text=unit)
    expect(row).to_contain_text("Olga Operator")
    assert "hold" in live_site.command("logbook", "verify", unit)


def scanned(config: pytest.Config, pdf: bytes) -> str:
    """Read the code of a printed label as a camera does."""
    (page,) = raster.pages(config, pdf)
    (code,) = zxingcpp.read_barcodes(page)
    return code.text


def enrol(site: Site, page: Page, name: str) -> None:
    """Enrol this browser and sign somebody in."""
    page.goto(site.command("phone", "add"))
    number, _, pin = CREW[name]
    page.get_by_label("Crew number").fill(number)
    page.get_by_label("PIN").fill(pin)
    page.get_by_role("button", name="Sign in").click()


def walk_by_taps(page: Page, bad: str) -> None:
    """Answer one item after the other by tapping; one is a defect."""
    begin = page.get_by_role("button", name="Begin")
    begin.wait_for()
    page.wait_for_timeout(BOUNCE)
    begin.tap()
    while not (sign := page.get_by_role("button", name="Sign and hand in")).is_visible():
        page.wait_for_timeout(BOUNCE)
        answer(page, page.locator("[data-step]:visible"), bad)
    page.get_by_label("Hour meter", exact=True).fill("85")
    page.wait_for_timeout(BOUNCE)
    sign.click()


def answer(page: Page, step: Locator, bad: str) -> None:
    """Tap the answer of the item that is shown."""
    name = str(step.get_attribute("id")).removeprefix("item-")
    if step.locator(".number-pad__input").count():
        step.locator(".number-pad__input").fill(fitting(step))
        step.locator("[value=value]").tap()
    elif name == bad:
        step.locator("[value=defect]").tap()
        step.locator(f"[name='note:{name}']").fill("Pedal goes down slowly")
        page.wait_for_timeout(BOUNCE)
        step.get_by_role("button", name="Next").tap()
    else:
        step.locator("[value=in_order]").tap()


def fitting(step: Locator) -> str:
    """Return a value within the limits of a measured item."""
    limits = step.locator("[data-low], [data-high]").first
    return str(limits.get_attribute("data-low") or limits.get_attribute("data-high"))


def walk_in_one_form(page: Page, bad: str) -> None:
    """Fill in the long form that there is without scripts."""
    for radio in page.locator("input[type=radio][value=in_order]").all():
        radio.check()
    for number in page.locator("input[name^='value:']").all():
        step = number.locator("xpath=ancestor::*[@data-step]")
        number.fill(fitting(step))
        step.locator("[value=value]").check()
    page.locator(f"input[name='answer:{bad}'][value=defect]").check()
    page.locator(f"[name='note:{bad}']").fill("Pedal goes down slowly")
    page.get_by_label("Hour meter", exact=True).fill("85")
    page.get_by_role("button", name="Sign and hand in").click()


def clear(site: Site, context: BrowserContext, unit: str) -> None:
    """Let the mechanic clear what was found, on a phone of their own."""
    page = context.new_page()
    enrol(site, page, "Milan Mechanic")
    page.locator(".row").filter(has_text=unit).get_by_role("link").click()
    expect(page.locator("main")).to_contain_text("Pedal goes down slowly")
    page.get_by_role("link", name="Clear it").click()
    page.get_by_label("Repaired").check()
    page.get_by_label("What was done").fill("Brake lines bled")
    page.get_by_role("button", name="Sign and clear it").click()
    expect(page.locator("main")).to_contain_text("Cleared, and signed with your name.")
