"""What may befall a walk at its worst moments: killed, signed out, its clock set anew."""

import contextlib

import pytest
from playwright.sync_api import Error, Page, expect

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
    walk,
)
from tests.pocket import Pocket

pytestmark = pytest.mark.browser

HOUR = 3600  # seconds


def on_the_road(server: Server, pocket: Pocket) -> Page:
    """Return the page of an operator's own phone, away from a signal."""
    assert pocket.context
    signed_in(server, pocket.context)
    page = pocket.rest()
    server.stop()
    return page


def go_to_the_end(server: Server, page: Page) -> str:
    """Begin a walk, or go on with it, to its signature; return its id."""
    page.goto(f"{server.url}/units/L07/walkarounds/new")
    expect(here(page)).to_be_visible()
    if page.get_by_role("button", name="Begin").is_visible():
        begin(page)
    walk(page)
    page.wait_for_timeout(GUARD)
    (draft,) = stored(page, "draft")
    return str(draft["entry"])


def kill_at_the_signature(pocket: Pocket, page: Page, wait: int) -> Page:
    """Tap and kill the browser so many milliseconds later; return the page after its restart."""
    with contextlib.suppress(Error):  # it may be gone before the tap has told
        page.locator("#sign button.button--main").evaluate(
            "(button) => void setTimeout(() => button.click())"
        )
        page.wait_for_timeout(wait)
    pocket.kill()
    return pocket.start().pages[0]


def ids(page: Page) -> list[str]:
    """Return the ids of all walks that the phone keeps, begun or handed in."""
    begun = [one["entry"] for one in stored(page, "draft")]
    return begun + [one["id"] for one in stored(page, "entry")]


def test_killed_at_the_signature_a_walk_is_begun_or_handed_in_and_never_both(
    server: Server, pocket: Pocket
):
    page = on_the_road(server, pocket)
    made = set()
    for wait in (0, 20, 60, 150, 400):
        made.add(go_to_the_end(server, page))
        page = kill_at_the_signature(pocket, page, wait)
        page.goto(f"{server.url}/waiting")
        expect(page.locator("[data-module=waiting-list]")).to_be_visible()
        assert sorted(ids(page)) == sorted(made)

    if stored(page, "draft"):
        go_to_the_end(server, page)
        sign(page)
        expect(page.get_by_text("Kept on this phone at")).to_be_visible()
    server.start()
    page.goto(f"{server.url}/sign-in")
    sign_in(page, "Olga Operator")
    sent(page)
    assert sorted(entry["id"] for entry in server.kinds("walkaround")) == sorted(made)


def test_killed_with_the_camera_open_a_walk_has_its_answers_and_its_words(
    server: Server, pocket: Pocket
):
    page = on_the_road(server, pocket)
    page.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(page)
    answer(page)
    here(page).locator(".answer").filter(has=page.locator("[value=defect]")).tap()
    page.wait_for_timeout(GUARD)
    here(page).locator(".choice").first.tap()
    here(page).locator("textarea").fill("Since this morning")
    page.wait_for_timeout(GUARD)
    with page.expect_file_chooser():
        here(page).locator("[type=file]").tap()
    pocket.kill()

    page = pocket.start().pages[0]
    page.goto(f"{server.url}/units/L07/walkarounds/new")

    expect(here(page)).to_have_attribute("data-item", "coupler")
    expect(page.locator("[name='answer:tyre']:checked")).to_have_value("in_order")
    expect(page.locator("[name='answer:seat']:checked")).to_have_value("defect")
    expect(page.locator("[name='findings:seat']:checked")).to_have_value("torn")
    expect(page.locator("[name='note:seat']")).to_have_value("Since this morning")


def test_a_session_that_ends_at_the_signature_costs_a_sign_in_and_no_walk(
    server: Server, phone: Page
):
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    walk(phone, bad="horn")
    phone.context.clear_cookies(name="walkaround-session")

    sign(phone)

    expect(phone.get_by_role("heading", name="Tagged out")).to_be_visible()
    expect(phone.get_by_text("Kept on this phone at")).to_be_visible()
    assert server.kinds("walkaround") == []
    phone.goto(f"{server.url}/waiting")
    phone.get_by_role("button", name="Send now").tap()
    expect(phone.get_by_text("Sign in to send them; anybody may.")).to_be_visible()
    phone.get_by_role("link", name="Sign in").tap()
    sign_in(phone, "Olga Operator")
    sent(phone)
    (entry,) = server.kinds("walkaround")
    assert (entry["by"], entry["signature"]) == ("101", "confirmed")


@pytest.mark.parametrize("hours", [-5, 5], ids=["back", "on"])
def test_a_clock_that_jumps_during_a_walk_costs_no_answer(server: Server, phone: Page, hours: int):
    server.stop()
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    answer(phone)
    jump = jumped(hours * HOUR)
    phone.evaluate(jump)
    phone.add_init_script(jump)
    walk(phone)
    sign(phone)

    expect(phone.get_by_text("Kept on this phone at")).to_be_visible()
    if hours < 0:  # then nobody knows how old is what was heard
        expect(phone.get_by_role("heading", name="Not checked")).to_be_visible()
    server.start()
    sent(phone)
    (entry,) = server.kinds("walkaround")
    told = [one.get("answer", one.get("value")) for one in entry["body"]["answers"]]
    assert told == ["in_order", "in_order", "in_order", 350, "in_order"]


def jumped(seconds: int) -> str:
    """Set the clock of a page: what it reads is off by so many seconds from now on."""
    return f"""(() => {{
      const Real = Date
      globalThis.Date = class extends Real {{
        constructor(...given) {{
          super(...(given.length ? given : [Date.now()]))
        }}
        static now() {{
          return Real.now() + {seconds * 1000}
        }}
      }}
    }})()"""
