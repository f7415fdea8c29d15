"""Scanning a label inside the page: by Chromium's own stand-in for a camera, and without one."""

import shutil
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import BrowserContext, Page, Route, expect

from tests.browser.test_every_page import violations
from tests.chromium import Open
from tests.lens import Show, code_of, held
from tests.paper.raster import pages
from tests.programs import absent
from tests.server import CREW, Site
from walkaround.web import assets
from walkaround.web.scan import DECODER

pytestmark = pytest.mark.browser

CAMERA = {"permissions": ["camera"]}
# As the Shape Detection API describes it; headless Chromium on Linux has none.
OWN_DETECTOR = """globalThis.BarcodeDetector = class {
  static getSupportedFormats = async () => ["qr_code"]
  detect = async (picture) => (globalThis.seen = picture, [{rawValue: "%s"}])
}"""
# What the Media Capture and Streams extensions (Image Capture) give to a camera with a light.
TORCH = """globalThis.asked = []
MediaStreamTrack.prototype.getCapabilities = () => ({torch: true})
MediaStreamTrack.prototype.applyConstraints = async (wanted) => void asked.push(wanted)"""

# What a page over plain HTTP finds; Chromium trusts this machine's own address without HTTPS.
PLAIN_LINE = """delete Navigator.prototype.mediaDevices
Object.defineProperty(globalThis, "isSecureContext", {value: false})"""


@pytest.fixture(scope="module")
def sheet(live_site: Site, pytestconfig: pytest.Config, tmp_path_factory) -> Image.Image:
    """The page that the site's printer gets, with the label of L07."""
    pdf: Path = tmp_path_factory.mktemp("labels") / "labels.pdf"
    live_site.command("labels", "L07", "--out", str(pdf))
    return pages(pytestconfig, pdf.read_bytes())[0]


@pytest.fixture(scope="module")
def label(sheet: Image.Image) -> str:
    """The address on that label, as another reader finds it."""
    (code,) = zxingcpp.read_barcodes(sheet)
    return code.text


@pytest.fixture
def decoder(pytestconfig: pytest.Config) -> None:
    """The decoder that set-up brings where there is npm."""
    if shutil.which("npm") is None:
        pytest.skip("there is no npm on this machine")
    if not (assets.ROOT / DECODER).is_file():
        absent(pytestconfig, "no decoder is here; bash .setup/decoder brings it")


def signed_in(site: Site, phone: BrowserContext) -> Page:
    number, _, pin = CREW["Olga Operator"]
    page = phone.new_page()
    page.goto(site.command("phone", "add").split()[-1])
    page.locator("#crew_number").fill(number)
    page.locator("#pin").fill(pin)
    page.locator("main form button").click()
    page.wait_for_url("**/units")
    return page


def scanning(site: Site, phone: BrowserContext) -> Page:
    page = phone.new_page()
    page.goto(f"{site.url}/scan")
    return page


def said(page: Page, words: str) -> None:
    """The page says so, and the number can be typed all the same."""
    expect(page.locator("[data-part='state']")).to_contain_text(words)
    expect(page.get_by_label("Type the unit number")).to_be_visible()


def test_a_label_before_the_camera_leads_to_its_unit(
    live_site: Site, open_camera_phone: Open, show: Show, label: str, decoder: None
):
    show(held(code_of(label), turned=20))
    page = signed_in(live_site, open_camera_phone(**CAMERA))

    page.get_by_role("link", name="Scan a label").click()

    page.wait_for_url("**/units/L07")


def test_the_printed_sheet_leads_a_stranger_to_the_unit(
    live_site: Site, open_camera_phone: Open, show: Show, sheet: Image.Image, decoder: None
):
    (code,) = zxingcpp.read_barcodes(sheet)
    x, y = code.position.top_left.x, code.position.top_left.y
    show(held(sheet.crop((x - 190, y - 110, x + 450, y + 370)), turned=-8))

    page = scanning(live_site, open_camera_phone(**CAMERA))

    page.wait_for_url("**/q/*")
    expect(page.locator(".header__number")).to_have_text("L07")


@pytest.mark.parametrize("text", ["https://quarry.example/q/abcdefghjkmnpqrstuvwxy", "Lot 4711"])
def test_a_foreign_code_is_named_and_not_followed(
    live_site: Site, open_camera_phone: Open, show: Show, text: str, decoder: None
):
    show(held(code_of(text)))

    page = scanning(live_site, open_camera_phone(**CAMERA))

    said(page, f"This is not a label of this site: {text}")
    page.wait_for_timeout(300)
    assert page.url == f"{live_site.url}/scan"
    assert page.evaluate("document.querySelector('video').srcObject.active")


def test_a_browser_that_reads_codes_itself_needs_no_decoder(
    live_site: Site, open_camera_phone: Open, label: str
):
    phone, asked, felt = open_camera_phone(**CAMERA), [], []
    phone.expose_function("feel", lambda length: felt.append(length))
    phone.add_init_script(OWN_DETECTOR % label + "\nnavigator.vibrate = feel")
    phone.on("request", lambda request: asked.append(request.url))

    page = scanning(live_site, phone)

    page.wait_for_url("**/q/*")
    assert felt == [200]
    assert not [address for address in asked if "vendor" in address]


def test_without_a_camera_the_page_says_so(live_site: Site, open_phone: Open, decoder: None):
    page = scanning(live_site, open_phone(**CAMERA))

    said(page, "This page finds no camera: type the number.")
    expect(page.get_by_role("button", name="Start the camera")).to_be_hidden()


def test_over_a_plain_line_the_page_says_why(live_site: Site, open_phone: Open, decoder: None):
    phone = open_phone()
    phone.add_init_script(PLAIN_LINE)

    page = scanning(live_site, phone)

    said(page, "only to pages that came over HTTPS: type the number.")


def test_who_refuses_the_camera_reads_what_to_do(
    live_site: Site, open_camera_phone: Open, decoder: None
):
    page = scanning(live_site, open_camera_phone())

    page.get_by_role("button", name="Start the camera").click()

    said(page, "The camera is not allowed on this page.")
    expect(page.get_by_role("button", name="Start the camera")).to_be_visible()


def without_decoder(route: Route) -> None:
    """Answer as a server whose set-up could not bring it."""
    answer = route.fetch()
    text = answer.text()
    there = f'data-decoder="{assets.asset(DECODER)}"'
    route.fulfill(response=answer, body=text.replace(there, 'data-decoder=""'))


@pytest.mark.parametrize(
    ("address", "answer"),
    [("**/scan", without_decoder), ("**/vendor/**", lambda route: route.abort())],
)
def test_where_nothing_reads_labels_the_page_says_so(
    live_site: Site, open_camera_phone: Open, address: str, answer
):
    # what comes from a service worker passes no route of the tests
    phone = open_camera_phone(**CAMERA, service_workers="block")
    phone.route(address, answer)

    page = scanning(live_site, phone)

    said(page, "This phone cannot read labels by itself here: type the number.")
    expect(page.get_by_role("button", name="Start the camera")).to_be_hidden()


def test_without_scripts_the_number_leads_to_the_unit(live_site: Site, open_camera_phone: Open):
    page = signed_in(live_site, open_camera_phone(scripts=False))
    page.goto(f"{live_site.url}/scan")

    expect(page.get_by_role("button", name="Start the camera")).to_be_hidden()
    page.get_by_label("Type the unit number").fill("l07")
    page.get_by_role("button", name="Open the unit").click()

    page.wait_for_url("**/units/L07")


def test_the_light_goes_on_and_off_and_says_so(
    live_site: Site, open_camera_phone: Open, show: Show, decoder: None
):
    show(held(code_of("Lot 4711")))
    phone = open_camera_phone(**CAMERA)
    phone.add_init_script(TORCH)
    page = scanning(live_site, phone)
    torch = page.get_by_role("button", name="Torch")

    for pressed, word in (("true", "Torch is on"), ("false", "Torch is off")):
        torch.click()
        expect(torch).to_have_attribute("aria-pressed", pressed)
        expect(torch).to_have_text(word)

    assert page.evaluate("asked") == [{"advanced": [{"torch": on}]} for on in (True, False)]


def test_axe_finds_nothing_while_the_camera_runs(
    live_site: Site, open_camera_phone: Open, show: Show, decoder: None
):
    show(held(code_of("x" * 70)))
    phone = open_camera_phone(**CAMERA)
    phone.add_init_script(TORCH)
    page = scanning(live_site, phone)
    said(page, "This is not a label")

    assert not violations(page)
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_a_camera_without_a_light_has_no_button_for_it(
    live_site: Site, open_camera_phone: Open, show: Show, decoder: None
):
    show(held(code_of("Lot 4711")))

    page = scanning(live_site, open_camera_phone(**CAMERA))

    said(page, "This is not a label")
    expect(page.locator("[data-part='torch']")).to_be_hidden()


@pytest.mark.parametrize("away", ["pagehide", "visibilitychange"])
def test_the_camera_stops_while_nobody_looks_and_starts_again(
    live_site: Site, open_camera_phone: Open, show: Show, away: str, decoder: None
):
    show(held(code_of("Lot 4711")))
    page = scanning(live_site, open_camera_phone(**CAMERA))
    said(page, "This is not a label")

    page.evaluate("self.before = document.querySelector('video').srcObject.getTracks()[0]")
    turn(page, away, hidden=True)

    assert page.evaluate("[before.readyState, document.querySelector('video').srcObject]") == [
        "ended",
        None,
    ]
    turn(page, {"pagehide": "pageshow"}.get(away, away), hidden=False)
    expect(page.locator("video")).to_be_visible()


def turn(page: Page, event: str, *, hidden: bool) -> None:
    """Put the page away or take it out, as the phone's own button does."""
    page.evaluate(
        """([event, hidden]) => {
          Object.defineProperty(document, "hidden", {value: hidden, configurable: true})
          document.dispatchEvent(new Event(event, {bubbles: true}))
        }""",
        [event, hidden],
    )
