"""What is hard to show: words of 60 letters, large letters, little room."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.test_every_page import send
from tests.server import Site

pytestmark = pytest.mark.browser

ONE_WORD = "Donaudampfschifffahrtsgesellschaftskapitaenswitwenrentenkasse"[:60]
WORDS = "Wheel loader with quick coupler, forks and high-tip bucket 3"
NUMBER = "1234567890ABCDEF"  # the longest there is
ADDRESSES = [
    "/board",
    "/defects",
    "/defects/L07/{defect}",
    "/defects/L07/{defect}/clearing",
    "/labels",
    "/more",
    "/people",
    "/units",
    "/units/L07",
    "/units/L07/logbook",
    f"/units/{NUMBER}",
    f"/units/{NUMBER}/walkarounds/new",
    "/nowhere",
]
PHONE, ASIDE, DESK, SMALL = (390, 844), (844, 390), (1440, 900), (320, 640)

# WCAG 2.2, 1.4.4 Resize Text: up to 200 per cent; a constructed sheet, as the policy allows it.
LARGE = """addEventListener("DOMContentLoaded", () => {
  const sheet = new CSSStyleSheet()
  sheet.replaceSync("html { font-size: 200% }")
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet]
})"""

# What stands outside of the window or runs out of its own box.
OUTSIDE = """() => [...document.querySelectorAll("body *")].filter((one) => {
  if (one.closest(".out-of-sight, .skip, svg, input, select, .loop")) return false
  const { left, right, width } = one.getBoundingClientRect()
  if (!width || getComputedStyle(one).clipPath !== "none") return false
  const wide = getComputedStyle(one).display !== "inline" && one.scrollWidth > one.clientWidth + 1
  return left < -1 || right > document.documentElement.clientWidth + 1 || (wide && one.clientWidth)
}).map((one) => `${one.tagName}.${one.className}`)"""

# The step that is shown: its question, and where everything is that answers it.
STEP = """() => {
  const step = document.querySelector("[data-step]:not([hidden])")
  const shown = (one) => one.getClientRects().length
  const faces = [...step.querySelectorAll(".answer__face, .number-pad__key")].filter(shown)
  const box = (one) => (({ left, right, top, bottom }) => ({ left, right, top, bottom }))(
    one.getBoundingClientRect())
  const look = box(step.querySelector(".step__look") ?? step)
  return { id: step.id, faces: faces.map(box), look }
}"""
FORGET = """async () => {
  const start = document.querySelector("script[type=module]").src
  const { drafts, removeDraft } = await import(start.replace("start.js", "drafts.js"))
  for (const { name } of await drafts()) await removeDraft(name)
}"""
# An answer is on the disk before the next step shows.
ANSWER = """async () => {
  const step = document.querySelector("[data-step]:not([hidden])")
  const number = step.querySelector(".number-pad__input")
  if (number) number.value = "340"
  const first = "[value=in_order], [value=value], [data-part=next]"
  step.querySelector(first).click()
  const isKept = () => step.hidden || step.classList.contains("step--more")
  for (let n = 0; n < 600 && !isKept(); n++) await new Promise(requestAnimationFrame)
  if (!step.hidden) step.querySelector("[data-part=next]").click()
}"""


@pytest.fixture(scope="module")
def defect(live_site: Site) -> str:
    """Names as long as they may be; return the defect with a word of 60 letters on L07."""
    roles = ["--role", "operator", "--role", "mechanic", "--role", "supervisor"]
    number = ["--crew-number", "900", "--pin", "5283"]
    live_site.command("person", "add", "--name", ONE_WORD, *number, *roles)
    live_site.command("unit", "set", "--number", "L07", "--title", WORDS)
    live_site.command(
        "unit", "add", "--number", NUMBER, "--machine", "wheel loader", "--title", ONE_WORD
    )
    token = live_site.command("token", "add", "--crew-number", "900")
    return send(live_site, token, "defect", what=f"{ONE_WORD} https://site.example/{ONE_WORD}")


@pytest.fixture(scope="module")
def context(live_site: Site, defect: str, browser: Any) -> Iterator[BrowserContext]:
    """Somebody with every role, signed in, who reads Spanish, which is longer."""
    found: BrowserContext = browser.new_context(locale="es")
    page = found.new_page()
    page.goto(live_site.command("phone", "add"))
    page.locator("#crew_number").fill("900")
    page.locator("#pin").fill("5283")
    page.locator("main form button").click()
    page.wait_for_url("**/board")
    yield found
    found.close()


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    opened = context.new_page()
    yield opened
    opened.close()


def show(page: Page, address: str, size: tuple[int, int], *, large: bool = False) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    if large:
        page.add_init_script(LARGE)
    page.goto(address)


def show_walk(page: Page, site: Site, size: tuple[int, int], *, large: bool = False) -> None:
    """Show a walk of L07 at its beginning, whatever another test has answered on this phone."""
    show(page, f"{site.url}/units/L07/walkarounds/new", size, large=large)
    page.evaluate(FORGET)
    page.reload()
    page.locator(".walk--steps").wait_for()


@pytest.mark.parametrize("size", [SMALL, ASIDE, DESK, "large"], ids=str)
@pytest.mark.parametrize("address", ADDRESSES)
def test_nothing_leaves_the_window(
    live_site: Site, defect: str, page: Page, address: str, size: Any
):
    there = live_site.url + address.format(defect=defect)

    show(page, there, PHONE if size == "large" else size, large=size == "large")

    assert page.evaluate(OUTSIDE) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize("size", [PHONE, ASIDE], ids=str)
def test_every_answer_is_in_reach_large_and_apart(live_site: Site, page: Page, size: Any):
    show_walk(page, live_site, size)

    for step in steps(page):
        boxes = step["faces"]
        reach = (min(box["top"] for box in boxes), max(box["bottom"] for box in boxes))
        assert reach[0] >= 0, step["id"]
        assert reach[1] <= size[1], step["id"]
        assert all(box["bottom"] - box["top"] >= 60 for box in boxes), step["id"]
        near = [apart(a, b) for n, a in enumerate(boxes) for b in boxes[:n]]
        assert min(near) >= 8, step["id"]  # all three: the look asked for, wider than WCAG 2.5.8


def test_the_keyboard_reaches_every_answer_before_it_gives_one(live_site: Site, page: Page):
    show_walk(page, live_site, DESK)
    first, focused = next(steps(page))["id"], "document.activeElement.closest('.step').id"

    page.keyboard.press("Tab")
    for value in ("in_order", "defect", "could_not_check"):
        assert page.evaluate("document.activeElement.value") == value
        page.keyboard.press("ArrowDown")
    assert page.evaluate(focused) == first
    page.keyboard.press("Space")

    expect(page.locator(f"#{first}")).to_be_hidden()
    assert page.evaluate(focused) != first


def test_large_letters_leave_the_question_free(live_site: Site, page: Page):
    show_walk(page, live_site, PHONE, large=True)

    for step in steps(page):
        assert all(apart(step["look"], box) > 0 for box in step["faces"]), step["id"]


def steps(page: Page) -> Iterator[dict[str, Any]]:
    """Walk, everything in order, and yield what each item shows."""
    page.evaluate(ANSWER)
    while (step := page.evaluate(STEP))["id"] != "sign":
        yield step
        page.evaluate(ANSWER)


def apart(one: dict[str, float], other: dict[str, float]) -> float:
    """Return how far two boxes are apart, along the line in which they stand; below 0 they meet."""
    beside = max(one["left"] - other["right"], other["left"] - one["right"])
    below = max(one["top"] - other["bottom"], other["top"] - one["bottom"])
    return max(beside, below)
