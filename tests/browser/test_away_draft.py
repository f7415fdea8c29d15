"""A walk that is begun: the app is killed, the shift ends, another window opens it."""

import pytest
from playwright.sync_api import Page, expect

from tests.away import (
    GUARD,
    Server,
    answer,
    begin,
    here,
    sent,
    sign,
    sign_in,
    signed_in,
    stored,
    until,
    walk,
)
from tests.pocket import Pocket

pytestmark = pytest.mark.browser


def open_walk(server: Server, page: Page) -> None:
    server.stop()
    page.goto(f"{server.url}/units/L07/walkarounds/new")
    expect(page.get_by_role("button", name="Begin")).to_be_visible()


def item(page: Page) -> str | None:
    return here(page).get_attribute("data-item")


def test_a_killed_app_goes_on_at_the_same_item_after_every_answer(server: Server, pocket: Pocket):
    assert pocket.context
    signed_in(server, pocket.context)
    page = pocket.rest()
    open_walk(server, page)
    begin(page)
    seen = []

    while item(page):
        seen.append(item(page))
        answer(page, is_bad=item(page) == "horn")
        after = item(page)
        pocket.kill()
        page = pocket.start().pages[0]
        page.goto(f"{server.url}/units/L07/walkarounds/new")
        expect(here(page)).to_be_visible()
        assert item(page) == after

    assert seen == ["tyre", "seat", "coupler", "pressure", "horn"]
    walk(page)
    sign(page)
    expect(page.get_by_role("heading", name="Tagged out")).to_be_visible()
    server.start()
    page.goto(f"{server.url}/sign-in")
    sign_in(page, "Olga Operator")
    sent(page)
    (entry,) = server.kinds("walkaround")
    told = {one["item"]: one.get("answer", one.get("value")) for one in entry["body"]["answers"]}
    assert told["horn"] == "defect"
    assert told["pressure"] == 350
    assert len(entry["body"]["answers"][-1]["photos"]) == 1


def end_the_shift(page: Page) -> None:
    """Let the shift of the walk that is begun be over since a minute."""
    page.evaluate(
        """async () => {
          const start = document.querySelector("script[type=module]").src
          const { all, put } = await import(start.replace("start.js", "db.js"))
          const ends_at = Date.now() - 60000
          for (const one of await all("draft")) await put("draft", { ...one, ends_at })
        }"""
    )


def test_a_walk_for_a_shift_that_is_over_hands_in_what_it_found_bad(server: Server, phone: Page):
    open_walk(server, phone)
    begin(phone)
    answer(phone)
    answer(phone, is_bad=True)
    end_the_shift(phone)

    phone.reload()

    expect(phone.get_by_text("It can't cover this shift any more")).to_be_visible()
    expect(phone.locator(".notice").first).to_contain_text("Seat")
    phone.get_by_role("button", name="Sign and hand in what is bad").tap()
    expect(phone.get_by_role("heading", name="Tagged out")).to_be_visible()
    assert stored(phone, "draft") == []
    server.start()
    sent(phone)
    (entry,) = server.kinds("walkaround")
    assert [one["item"] for one in entry["body"]["answers"]] == ["seat"]
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    expect(phone.get_by_role("button", name="Begin")).to_be_visible()


def hand_to(server: Server, page: Page, who: str) -> None:
    """Let the next person sign in on this phone."""
    page.context.clear_cookies(name="walkaround-session")
    page.goto(f"{server.url}/sign-in")
    sign_in(page, who)


def test_the_next_person_hands_in_what_was_found_bad_before_in_its_maker_s_name(
    server: Server, phone: Page
):
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    answer(phone)
    answer(phone, is_bad=True)
    end_the_shift(phone)
    hand_to(server, phone, "Milan Mechanic")
    phone.goto(f"{server.url}/units/L07/walkarounds/new")

    expect(phone.locator(".notice").first).to_contain_text("Crew 101 began this walk")
    expect(phone.locator(".notice").first).to_contain_text("Seat")
    phone.get_by_role("button", name="Hand in what is bad").tap()
    expect(phone.get_by_role("heading", name="Tagged out")).to_be_visible()
    (entry,) = server.kinds("walkaround")
    assert (entry["by"], entry["signature"]) == ("101", "unconfirmed")
    assert [one["item"] for one in entry["body"]["answers"]] == ["seat"]
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    expect(phone.get_by_role("button", name="I have read this. Begin")).to_be_visible()


def test_one_that_found_nothing_bad_makes_way_for_a_new_one(server: Server, phone: Page):
    open_walk(server, phone)
    begin(phone)
    answer(phone)
    end_the_shift(phone)
    phone.reload()

    phone.get_by_role("button", name="Begin a new walk").tap()

    expect(phone.get_by_role("button", name="I have read this. Begin")).to_be_visible()
    assert stored(phone, "draft") == []


def test_a_walk_is_open_in_one_window_alone(server: Server, phone: Page):
    open_walk(server, phone)
    begin(phone)
    answer(phone)

    other = phone.context.new_page()
    other.goto(phone.url)

    expect(other.get_by_text("This walk is open in another window")).to_be_visible()
    phone.close()
    other.reload()
    expect(here(other)).to_have_attribute("data-item", "seat")


def test_a_walk_that_was_begun_with_a_signal_goes_on_without_one(server: Server, phone: Page):
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    answer(phone)
    answer(phone)

    server.stop()
    phone.reload()

    expect(here(phone)).to_have_attribute("data-item", "coupler")


def test_the_page_of_an_earlier_walk_leaves_the_one_that_is_begun(server: Server, phone: Page):
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    walk(phone)
    sign(phone)
    expect(phone.get_by_role("heading", level=1)).to_have_text("OK to run")
    earlier = phone.url
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    answer(phone)
    answer(phone)

    phone.goto(earlier)
    expect(phone.locator("[data-module=walk-done][data-started]")).to_be_attached()
    phone.goto(f"{server.url}/units/L07/walkarounds/new")

    expect(here(phone)).to_have_attribute("data-item", "coupler")


# Chromium undoes such a transaction on a full disk; here it is undone whatever room there is.
NO_ROOM = """
const { put } = IDBObjectStore.prototype
IDBObjectStore.prototype.put = function (...given) {
  return this.name === "entry" ? void this.transaction.abort() : put.apply(this, given)
}
"""


NO_DRAFT = """async () => {
  const start = document.querySelector("script[type=module]").src
  const { all } = await import(start.replace("start.js", "db.js"))
  return (await all("draft")).length === 0
}"""


def test_a_walk_that_a_full_phone_sends_as_its_form_leaves_no_draft(server: Server, phone: Page):
    phone.add_init_script(NO_ROOM)
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    walk(phone)

    sign(phone)

    expect(phone.get_by_role("heading", level=1)).to_have_text("OK to run")
    until(phone, NO_DRAFT)
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    expect(phone.get_by_role("button", name="I have read this. Begin")).to_be_visible()
    assert len(server.kinds("walkaround")) == 1


def test_a_walk_that_a_full_phone_sends_as_its_form_takes_its_photos_along(
    server: Server, phone: Page
):
    phone.add_init_script(NO_ROOM)
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    walk(phone, bad="tyre")

    sign(phone)

    expect(phone.get_by_role("heading", level=1)).to_have_text("Tagged out")
    (entry,) = server.kinds("walkaround")
    (name,) = [name for one in entry["body"]["answers"] for name in one.get("photos", [])]
    assert [file for file in (server.site.data / "photos").rglob(f"{name}*") if file.is_file()]


def test_without_a_signal_a_full_phone_keeps_the_answers_on_the_screen(server: Server, phone: Page):
    phone.add_init_script(NO_ROOM)
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    walk(phone)
    server.stop()

    sign(phone)

    expect(phone.get_by_text("It could not be kept")).to_be_visible()
    expect(phone.locator("#hours")).to_have_value("84")
    server.start()
    sign(phone)
    expect(phone.get_by_role("heading", level=1)).to_have_text("OK to run")
    assert len(server.kinds("walkaround")) == 1


HOLD_BACK = """() => {
  const complete = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "oncomplete")
  Object.defineProperty(IDBTransaction.prototype, "oncomplete", {
    set(then) {
      const held = () => (globalThis.letGo ? then() : setTimeout(held, 50))
      complete.set.call(this, held)
    },
  })
}"""


def test_next_waits_until_what_was_written_is_on_the_disk(server: Server, phone: Page):
    open_walk(server, phone)
    begin(phone)
    here(phone).locator(".answer").filter(has=phone.locator("[value=defect]")).tap()
    phone.wait_for_timeout(GUARD)
    phone.evaluate(HOLD_BACK)
    here(phone).locator("textarea").fill("Since this morning")

    for _ in range(2):
        here(phone).get_by_role("button", name="Next").tap()
        phone.wait_for_timeout(GUARD)

    assert item(phone) == "tyre"
    phone.evaluate("globalThis.letGo = true")
    expect(here(phone)).to_have_attribute("data-item", "seat")
    phone.wait_for_timeout(GUARD)
    assert item(phone) == "seat"  # one step for two taps
