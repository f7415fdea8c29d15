"""A walk that is begun: the app is killed, the shift ends, another window opens it."""

import pytest
from playwright.sync_api import Page, expect

from tests.away import Server, answer, begin, here, sent, sign, sign_in, signed_in, stored, walk
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
