"""The operator's hand on the walk: taps, targets, bouncing gloves, photographs, page weight."""

import io
import json
import re
import urllib.request
import uuid
from datetime import UTC, datetime
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Locator, Page, expect

from tests.away import GUARD, HAS_KEPT, USABLE, move_on, stored, until
from tests.chromium import Open
from tests.pictures import jpeg
from tests.server import CREW, Site
from walkaround.rules import instant

pytestmark = pytest.mark.browser

NUMBER, _, PIN = CREW["Olga Operator"]


class Hand:
    """Taps and counts; what is typed is not counted."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps = page, 0

    def tap(self, target: Locator) -> None:
        target.tap()
        self.taps += 1
        self.page.wait_for_timeout(GUARD)

    def move_on(self, target: Locator) -> None:
        """Tap what leads to another step."""
        move_on(self.page, target)
        self.taps += 1

    def sign_in(self) -> None:
        for label, typed in (("Crew number", NUMBER), ("PIN", PIN)):
            self.tap(self.page.get_by_label(label))
            self.page.keyboard.type(typed)
        self.tap(self.page.get_by_role("button", name="Sign in"))

    def begin(self) -> None:
        self.move_on(self.page.get_by_role("button", name="Begin"))

    def answer(self) -> None:
        """Find the item that is shown in order."""
        number = here(self.page).locator(".number-pad__input")
        if number.count():
            number.fill("350" if "pressure" in str(number.get_attribute("name")) else "50")
        self.move_on(here(self.page).locator(".answer").filter(has=good(self.page)))

    def find_bad(self, words: str) -> None:
        """Find the item that is shown bad: the commonest finding, words and a photo."""
        self.tap(here(self.page).locator(".answer").filter(has=self.page.locator("[value=defect]")))
        self.tap(here(self.page).locator(".choice").first)
        self.tap(here(self.page).locator("textarea"))
        self.page.keyboard.type(words)
        picture = {"name": "seen.jpg", "mimeType": "image/jpeg", "buffer": jpeg()}
        here(self.page).locator("[type=file]").set_input_files(picture)
        self.taps += 3  # the field, and the camera's own two
        expect(here(self.page)).to_contain_text("The photo is kept.")
        self.move_on(here(self.page).get_by_role("button", name="Next"))


def here(page: Page) -> Locator:
    """Return the step that is shown."""
    return page.locator("[data-step]:visible")


def good(page: Page) -> Locator:
    return page.locator("[value=in_order], [value=value]")


def jump(page: Page, step: int) -> None:
    """Lead to a step as the phone's own back and forward do."""
    page.evaluate("(step) => dispatchEvent(new PopStateEvent('popstate', {state: {step}}))", step)


def opened(site: Site, open_phone: Open, unit: str, **options: Any) -> Page:
    """Enrol a phone and open the walk of a unit of its own, signed in."""
    if unit != "L07":
        machine = ["--machine", "wheel loader", "--hours", "84"]
        site.command("unit", "add", "--number", unit, *machine)
    page = open_phone(**options).new_page()
    page.goto(site.command("phone", "add").split()[-1])
    page.locator("#crew_number").fill(NUMBER)
    page.locator("#pin").fill(PIN)
    page.locator("main form button").click()
    page.goto(f"{site.url}/units/{unit}/walkarounds/new")
    return page


def api(site: Site, path: str, body: Any = None) -> Any:
    """Call the JSON API as the operator."""
    token = site.command("token", "add", "--crew-number", NUMBER)
    headers = {"Authorization": f"Bearer {token}", "Content-Type": "application/json"}
    data = json.dumps(body).encode() if body else None
    request = urllib.request.Request(f"{site.url}/api/v1{path}", data, headers)
    with urllib.request.urlopen(request) as answer:
        return json.load(answer)


def measure_pressures(site: Site, unit: str) -> None:
    """Let somebody measure the tyres, so that they are not asked for again in these seven days."""
    held = api(site, f"/units/{unit}/checklist")
    items = [item for station in held["stations"] for item in station["items"]]
    now = instant.text(int(datetime.now(UTC).timestamp()) * 1000)
    told = [{"item": i["item"], "value": 350} for i in items if "pressure" in i["item"]]
    body = {"started_at": now, "finished_at": now, "answers": told}
    body |= {name: held[name] for name in ("checklist", "version")}
    entry = {"id": str(uuid.uuid4()), "kind": "walkaround", "unit": unit, "made_at": now}
    (result,) = api(site, "/entries", {"sent_at": now, "entries": [{**entry, "body": body}]})[
        "results"
    ]
    assert result["result"] == "accepted"


def test_a_clean_walk_of_36_items_takes_at_most_42_taps(live_site: Site, open_phone: Open):
    measure_pressures(live_site, "L07")
    page = open_phone().new_page()
    page.goto(live_site.command("phone", "add").split()[-1])
    page.goto(f"{live_site.url}/units/L07")
    hand = Hand(page)

    hand.sign_in()
    hand.tap(page.get_by_role("link", name="Walk round it"))
    hand.begin()
    while page.locator(".stop:visible").count():
        hand.answer()
    page.get_by_label("Hour meter", exact=True).fill("84")
    hand.tap(page.get_by_role("button", name="Sign and hand in"))

    expect(page.get_by_role("heading", level=1)).to_have_text("OK to run")
    expect(page.locator("main")).to_contain_text("36 of 36")
    assert hand.taps <= 36 + 6


def test_a_walk_with_two_defects_with_words_and_photos_takes_at_most_60_taps(
    live_site: Site, open_phone: Open
):
    page = opened(live_site, open_phone, "L42")
    measure_pressures(live_site, "L42")
    page.reload()
    hand = Hand(page)
    hand.taps = 4  # what came before: to the number, to the PIN, sign in, walk round it
    hand.begin()

    for _ in range(2):
        hand.find_bad("Worn through where it lies on the frame")
    while page.locator(".stop:visible").count():
        hand.answer()
    page.get_by_label("Hour meter", exact=True).fill("84")
    hand.tap(page.get_by_role("button", name="Sign and hand in"))

    expect(page.get_by_role("heading", level=1)).to_have_text("Tagged out")
    expect(page.locator("main")).to_contain_text("Worn through where it lies on the frame")
    assert hand.taps <= 60


def test_everything_that_is_tapped_on_the_walk_is_60_pixels_high(live_site: Site, open_phone: Open):
    page = opened(live_site, open_phone, "L31")
    targets = page.locator("[data-step] :is(.answer, .number-pad__key, .button):visible")
    Hand(page).begin()

    for step in range(page.locator("[data-step]").count()):
        jump(page, step)
        boxes = targets.evaluate_all("all => all.map((one) => one.getBoundingClientRect())")
        assert boxes
        assert all(min(box["height"], box["width"]) >= 60 for box in boxes), step


def test_a_bouncing_glove_answers_one_item(live_site: Site, open_phone: Open):
    page = opened(live_site, open_phone, "L32")
    hand = Hand(page)
    hand.begin()

    box = here(page).locator(".answer").first.bounding_box()
    for _ in range(2):
        page.touchscreen.tap(box["x"] + 60, box["y"] + 30)

    expect(here(page)).to_contain_text("2 of 40")
    expect(here(page).locator(":checked")).to_have_count(0)


def test_the_phone_s_back_and_a_reload_lose_nothing(live_site: Site, open_phone: Open):
    page = opened(live_site, open_phone, "L33")
    hand = Hand(page)
    hand.begin()
    hand.answer()
    hand.answer()

    page.go_back()
    expect(here(page)).to_contain_text("2 of 40")
    expect(here(page).locator("[value=in_order]")).to_be_checked()
    page.reload()

    page.locator(".walk--steps").wait_for()
    expect(here(page)).to_contain_text("2 of 40")
    first = page.locator("[name='answer:leaks-underneath']:checked")
    assert first.get_attribute("value") == "in_order"


def test_a_walk_that_was_handed_in_leaves_no_draft(live_site: Site, open_phone: Open):
    page = opened(live_site, open_phone, "L39")
    hand = Hand(page)
    hand.begin()
    while page.locator(".stop:visible").count():
        hand.answer()
    page.get_by_label("Hour meter", exact=True).fill("84")
    hand.tap(page.get_by_role("button", name="Sign and hand in"))
    expect(page.get_by_role("heading", level=1)).to_have_text("OK to run")
    assert stored(page, "draft") == []

    page.goto(f"{live_site.url}/units/L39/walkarounds/new")

    expect(page.get_by_role("button", name="Begin")).to_be_visible()
    expect(page.locator(":checked")).to_have_count(0)


def test_a_photo_arrives_with_its_walk_and_stands_on_the_unit_s_page(
    live_site: Site, open_phone: Open
):
    page = opened(live_site, open_phone, "L34")
    hand = Hand(page)
    hand.begin()
    hand.tap(here(page).locator(".answer").filter(has=page.locator("[value=defect]")))
    hand.tap(here(page).get_by_label("Oil leak"))
    picture = io.BytesIO()
    Image.new("RGB", (3000, 2000), "grey").save(picture, "JPEG")

    file = {"name": "leak.jpg", "mimeType": "image/jpeg", "buffer": picture.getvalue()}
    here(page).locator("[type=file]").set_input_files(file)
    expect(here(page)).to_contain_text("The photo is kept.")
    hand.tap(here(page).get_by_role("button", name="Next"))
    while page.locator(".stop:visible").count():
        hand.answer()
    page.get_by_label("The hour meter cannot be read").check()
    hand.tap(page.get_by_role("button", name="Sign and hand in"))

    expect(page.get_by_role("heading", level=1)).to_have_text("Tagged out")
    page.goto(f"{live_site.url}/units/L34")
    shown = page.locator(".photos__picture")
    assert shown.evaluate("async (i) => { await i.decode(); return i.naturalWidth }") > 0
    expect(page.locator("main")).to_contain_text("Oil leak")


# Secure Contexts and the specifications of these three: a page that came over plain HTTP has none.
PLAIN_HTTP = """
for (const [of, name] of [[Crypto, "subtle"], [Navigator, "locks"], [Navigator, "serviceWorker"]]) {
  delete of.prototype[name]
}
"""


def test_over_plain_http_a_walk_goes_as_its_form_and_the_page_says_so(
    live_site: Site, open_phone: Open
):
    page = opened(live_site, open_phone, "L43", service_workers="block")
    page.add_init_script(PLAIN_HTTP)
    page.reload()
    expect(page.get_by_text("Without https nothing is kept on this phone")).to_be_visible()
    hand = Hand(page)
    hand.begin()
    hand.tap(here(page).locator(".answer").filter(has=page.locator("[value=defect]")))
    hand.tap(here(page).get_by_label("Oil leak"))
    picture = {"name": "leak.jpg", "mimeType": "image/jpeg", "buffer": jpeg()}
    here(page).locator("[type=file]").set_input_files(picture)
    hand.tap(here(page).get_by_role("button", name="Next"))
    while page.locator(".stop:visible").count():
        hand.answer()
    page.get_by_label("The hour meter cannot be read").check()
    hand.tap(page.get_by_role("button", name="Sign and hand in"))

    expect(page.get_by_role("heading", level=1)).to_have_text("Tagged out")
    expect(page.locator(".photos__picture:visible")).to_have_count(1)


def test_where_the_phone_keeps_a_walk_nothing_else_is_said(live_site: Site, open_phone: Open):
    page = opened(live_site, open_phone, "L44")

    expect(page.get_by_role("button", name="Begin")).to_be_visible()
    assert page.locator("[data-part=not-kept]").count() == 1
    expect(page.locator("[data-part=not-kept]")).to_be_hidden()


def test_could_not_check_asks_why_before_it_goes_on(live_site: Site, open_phone: Open):
    page = opened(live_site, open_phone, "L35")
    hand = Hand(page)
    hand.begin()
    unchecked = page.locator("[value=could_not_check]")
    hand.tap(here(page).locator(".answer").filter(has=unchecked))
    hand.tap(here(page).get_by_role("button", name="Next"))
    expect(here(page)).to_contain_text("1 of 40")

    here(page).get_by_label("Why could it not be checked?").fill("Stands in a puddle")
    hand.tap(here(page).get_by_role("button", name="Next"))

    expect(here(page)).to_contain_text("2 of 40")


def test_a_number_outside_its_limits_is_said_at_once_and_holds_nobody_up(
    live_site: Site, open_phone: Open
):
    page = opened(live_site, open_phone, "L36")
    hand = Hand(page)
    hand.begin()
    hand.answer()
    hand.answer()

    for key in "290":
        hand.tap(here(page).get_by_role("button", name=key, exact=True))
    expect(here(page)).to_contain_text("Outside the limits: this is a defect.")
    hand.tap(here(page).locator(".answer").filter(has=good(page)))
    hand.tap(here(page).get_by_role("button", name="Next"))

    expect(here(page)).to_contain_text("4 of 40")


def test_without_scripts_what_is_missing_is_named_and_the_rest_stays(
    live_site: Site, open_phone: Open
):
    page = opened(live_site, open_phone, "L37", scripts=False)
    for radio in page.locator("[value=in_order]").all():
        radio.check()
    page.locator("#item-horn [value=defect]").check()
    page.locator("#item-horn").get_by_label("Silent").check()

    page.get_by_role("button", name="Sign and hand in").click()

    expect(page.locator(".errors")).to_contain_text("7 things are still wanted")
    expect(page.locator("#item-horn [value=defect]")).to_be_checked()
    expect(page.locator("#item-horn").get_by_label("Silent")).to_be_checked()


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_no_step_of_the_walk_breaks_a_rule_of_axe_or_scrolls_sideways(
    live_site: Site, open_phone: Open, dark: bool
):
    narrow = {"viewport": {"width": 320, "height": 640}, "locale": "es"}
    page = opened(live_site, open_phone, f"L4{dark:d}", dark=dark, **narrow)
    hand = Hand(page)
    hand.tap(page.get_by_role("button", name="Empezar"))
    sound(page)
    hand.tap(here(page).locator(".answer").filter(has=page.locator("[value=defect]")))
    sound(page)
    hand.tap(here(page).locator("[data-part=next]"))
    hand.answer()
    sound(page)
    jump(page, page.locator("[data-step]").count() - 1)

    sound(page)


@pytest.mark.parametrize("locale", ["en", "es"])
def test_no_answers_hide_words_on_a_phone_of_390_by_844(
    live_site: Site, open_phone: Open, locale: str
):
    page = opened(live_site, open_phone, f"L5{locale}", locale=locale)
    page.locator(".walk--steps").wait_for()
    steps = page.locator("[data-step]").count()

    hidden = {step: shortfall(page, step) for step in range(1, steps - 1)}

    assert len(hidden) >= 36
    assert {step: pixels for step, pixels in hidden.items() if pixels > 0} == {}


def shortfall(page: Page, step: int) -> float:
    """Return how many pixels of a step's words lie behind its answers."""
    jump(page, step)
    words, answers = (
        here(page).locator(part).bounding_box() for part in (".step__words", ".step__answers")
    )
    assert words
    assert answers
    return words["y"] + words["height"] - answers["y"]


def sound(page: Page) -> None:
    """Hold the step that is shown to axe-core and to the width of the phone."""
    result = Axe().run(page)
    assert result.violations_count == 0, result.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_the_walk_weighs_at_most_60_kilobytes_until_it_can_be_begun(
    live_site: Site, open_phone: Open
):
    page = opened(live_site, open_phone, "L38", service_workers="block")  # as on the first visit
    network = page.context.new_cdp_session(page)
    network.send("Network.enable")
    network.send("Network.setCacheDisabled", {"cacheDisabled": True})
    page.add_init_script(USABLE)

    page.reload()
    page.locator(".walk--steps").wait_for()
    # Resource Timing, 4.3: transferSize counts what came, compressed, and 300 bytes of header
    # fields for each answer; ours have some 700 more.
    sizes = page.evaluate(
        "performance.getEntries().filter((e) => e.transferSize && e.startTime < usable)"
        ".map((e) => [e.name, e.transferSize + 700])"
    )

    assert len(sizes) >= 4  # the page and its modules at least
    assert sum(size for _, size in sizes) <= 60 * 1024, sizes


@pytest.mark.parametrize("address", ["/walkarounds/new", "/walkarounds/new?occasion=end_of_shift"])
def test_no_module_of_a_walk_is_fetched_late_or_in_vain(
    live_site: Site, open_phone: Open, address: str
):
    page = opened(live_site, open_phone, f"L6{len(address)}")
    until(page, HAS_KEPT)
    page.add_init_script(USABLE)
    page.goto(f"{page.url.split('/walkarounds')[0]}{address}")
    assert loaded(page) == preloaded(page)

    page.goto(
        live_site.url + kept_walk(page, "end_of_shift" if "end" in address else "start_of_shift")
    )

    assert loaded(page) == preloaded(page)


def loaded(page: Page) -> set[str]:
    """Return the modules that were asked for until the walk could be begun, but for the two that
    start every page."""
    page.locator(".walk--steps").wait_for()
    names = page.evaluate(
        "performance.getEntriesByType('resource').filter((e) => e.startTime < usable)"
        ".map((e) => e.name)"
    )
    return {one for one in names if re.search(r"(?<!/start|-offer)\.js$", one)}


def preloaded(page: Page) -> set[str]:
    links = page.locator("link[rel=modulepreload]")
    return set(links.evaluate_all("all => all.map((link) => link.href)"))


def kept_walk(page: Page, occasion: str) -> str:
    """Return the address of the walk that the phone keeps for the unit that is shown."""
    (unit,) = [one for one in stored(page, "heard") if f"/{one.get('number')}/" in page.url]
    held = unit["lists"][occasion]
    return f"/kept/walkarounds/{held['name']}/{held['version']}?unit={unit['number']}"


def test_an_item_that_a_slipped_tap_answered_is_named_before_the_signature(
    live_site: Site, open_phone: Open
):
    page = opened(live_site, open_phone, "L6")
    hand = Hand(page)
    hand.begin()
    read(page)
    hand.answer()
    slipped = str(here(page).get_attribute("id"))
    hand.answer()  # 400 ms later, as a glove that taps twice
    jump(page, page.locator("[data-step]").count() - 1)
    notice = here(page).locator("[data-part=quick]")

    expect(notice.locator("a")).to_have_count(1)
    read(page)
    hand.tap(notice.locator("a"))
    expect(here(page)).to_have_id(slipped)
    read(page)
    hand.answer()

    expect(here(page)).to_have_id("sign")
    expect(notice).to_be_hidden()


def read(page: Page) -> None:
    """Take the second that anybody takes to read what came up."""
    page.wait_for_timeout(1000)
