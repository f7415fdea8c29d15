"""A unit that was stopped while a phone was away: whoever walked round it meanwhile is told."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.away import Server, stored, walk_away
from tests.browser.test_supervisor import send
from tests.server import CREW

pytestmark = pytest.mark.browser


def walk_clean(server: Server, phone: Page) -> None:
    """Walk L07 with no server there, and leave the app so that nothing is sent yet."""
    walk_away(server, phone)
    expect(phone.get_by_role("heading", name="OK to run")).to_be_visible()
    phone.goto("about:blank")


def test_a_walk_that_crossed_with_a_tag_is_told_until_it_was_read(server: Server, phone: Page):
    walk_clean(server, phone)
    server.start()
    supervisor = CREW["Sara Supervisor"][0]
    token = server.site.command("token", "add", "--crew-number", supervisor)
    send(server.site, token, "hold", "L07", reason="Boom cracked")

    phone.goto(f"{server.url}/waiting")
    notice = phone.get_by_role("alert").filter(has_text="Stop: L07 may not run.")
    expect(notice).to_contain_text("Boom cracked")
    expect(notice).to_contain_text(re.compile(rf"Stopped since \d\d:\d\d, by crew {supervisor}\."))
    size, body = (
        phone.evaluate(f"parseFloat(getComputedStyle(document.querySelector('{one}')).fontSize)")
        for one in ("[data-stop] p", "main p:not(.large)")
    )
    assert size > body
    phone.reload()
    expect(notice).to_contain_text("Stopped since")  # nobody has read it yet
    notice.get_by_role("button", name="I have read this").tap()
    expect(notice).to_be_hidden()
    phone.reload()
    expect(phone.get_by_text("Nothing waits.")).to_be_visible()
    phone.wait_for_timeout(1000)
    expect(notice).to_be_hidden()

    (kept,) = stored(phone, "entry")
    assert kept["kept_at"] < kept["stop_shown_at"] < kept["told_at"]
