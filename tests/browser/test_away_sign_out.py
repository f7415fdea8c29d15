"""A phone that is handed on: nobody signs without a PIN as the one who has signed out."""

import pytest
from playwright.sync_api import Page, expect

from tests.away import Server, begin, sign, sign_in, until, walk, walk_away
from tests.chromium import Open
from tests.server import CREW

pytestmark = pytest.mark.browser

ENTRIES = "**/api/v1/entries"

NOBODY = """async () => {
  const start = document.querySelector("script[type=module]").src
  const { get } = await import(start.replace("start.js", "db.js"))
  return !(await get("heard", "site")).signed_in
}"""


def kept_by_olga(server: Server, phone: Page) -> None:
    """Walk L07 and record its hours without a signal: two entries wait."""
    walk_away(server, phone)
    expect(phone.get_by_role("heading", name="OK to run")).to_be_visible()
    phone.goto(f"{server.url}/units/L07/hours/new")
    phone.get_by_label("Hour meter").fill("85")
    phone.get_by_role("button", name="Record it").tap()
    expect(phone.get_by_text("2 entries wait to be sent")).to_be_visible()


def sign_out(server: Server, phone: Page) -> None:
    """Sign out with a signal that takes no entries, and wait until the phone knows."""
    phone.route(ENTRIES, lambda route: route.abort())
    server.start()
    with phone.expect_response("**/api/v1/kept"):
        phone.goto(f"{server.url}/more")
    phone.get_by_role("button", name="Sign out").tap()
    phone.wait_for_url("**/sign-in")
    until(phone, NOBODY)
    expect(phone.get_by_text("2 entries wait to be sent")).to_be_visible()
    server.stop()


def walk_as_milan(server: Server, phone: Page) -> None:
    """Walk L07 without a signal on the phone of the one before."""
    number, _, pin = CREW["Milan Mechanic"]
    phone.goto(f"{server.url}/units/L07/walkarounds/new")
    begin(phone)
    walk(phone)
    expect(phone.get_by_text("is signed in on this phone")).to_be_hidden()
    sign(phone)
    expect(phone.get_by_text("Give your crew number and your PIN.")).to_be_visible()
    phone.get_by_label("Crew number").fill(number)
    phone.get_by_label("PIN").fill(pin)
    sign(phone)
    expect(phone.get_by_text("3 entries wait to be sent")).to_be_visible()


def test_after_a_sign_out_the_next_one_proves_who_signs(server: Server, phone: Page):
    kept_by_olga(server, phone)
    sign_out(server, phone)

    phone.goto(f"{server.url}/units/L07")
    expect(phone.get_by_role("heading", name="Unit, as last heard")).to_be_visible()
    expect(phone.get_by_role("heading", name="OK to run")).to_have_count(0)
    walk_as_milan(server, phone)
    expect(phone.get_by_role("heading", name="In order by this check")).to_be_visible()

    phone.unroute(ENTRIES)
    server.start()
    phone.goto(f"{server.url}/sign-in")
    sign_in(phone, "Milan Mechanic")
    phone.goto(f"{server.url}/waiting")
    phone.get_by_role("button", name="Send now").tap()
    expect(phone.get_by_text("The office has it, unconfirmed")).to_have_count(2)
    told = sorted((one["kind"], one["by"], one["signature"]) for one in server.logbook())
    assert told == [
        ("hours", "101", "unconfirmed"),
        ("walkaround", "101", "unconfirmed"),
        ("walkaround", "102", "confirmed"),
    ]


def test_a_browser_that_knows_no_site_does_not_ask_how_it_stands(server: Server, open_phone: Open):
    page = open_phone().new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))

    page.goto(f"{server.url}/sign-in")
    page.wait_for_timeout(1500)

    assert not [url for url in asked if "/api/v1/kept" in url]
