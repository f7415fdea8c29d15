"""What the phone has called kept outlives the browser's sudden end, and is sent once."""

import pytest
from playwright.sync_api import Page, expect

from tests.away import Server, sent, sign_in, signed_in, stored, until
from tests.pocket import Pocket

pytestmark = pytest.mark.browser


def report(page: Page, url: str, words: str) -> None:
    """Report a defect without a signal, with the browser gone as soon as it says so."""
    page.goto(f"{url}/units/L07/defects/new")
    page.get_by_label("In your own words").fill(words)
    page.get_by_role("button", name="Report it").tap()
    expect(page.get_by_text("Kept on this phone at")).to_be_visible()


def crash(server: Server, pocket: Pocket, times: int) -> None:
    assert pocket.context
    signed_in(server, pocket.context)
    page = pocket.rest()
    server.stop()
    words = [f"Number {place}" for place in range(times)]
    for one in words:
        report(page, server.url, one)
        pocket.kill()
        page = pocket.start().pages[0]

    page.goto(f"{server.url}/waiting")
    expect(page.get_by_text(f"{times} entries wait to be sent")).to_be_visible()
    assert len(stored(page, "entry")) == times
    server.start()
    page.goto(f"{server.url}/sign-in")  # the browser forgot who was signed in; the phone nothing
    sign_in(page, "Olga Operator")
    sent(page)
    assert [entry["body"]["what"] for entry in server.kinds("defect")] == words


def test_what_was_kept_outlives_a_killed_browser(server: Server, pocket: Pocket):
    crash(server, pocket, times=3)


# The answer is read, and the browser ends before that is on its disk.
NOT_NOTED = """
const put = IDBObjectStore.prototype.put
IDBObjectStore.prototype.put = function (value) {
  if (value.state !== "sent") return put.call(this, value)
  globalThis.wasRead = true
}
"""


def test_what_was_sent_and_could_not_be_noted_goes_again_and_stands_once(
    server: Server, pocket: Pocket
):
    assert pocket.context
    signed_in(server, pocket.context)
    page = pocket.rest()
    server.stop()
    report(page, server.url, "Smoke")
    server.start()
    page.add_init_script(NOT_NOTED)
    page.goto(f"{server.url}/sign-in")
    sign_in(page, "Olga Operator")
    until(page, "() => globalThis.wasRead")
    pocket.kill()
    assert len(server.kinds("defect")) == 1

    page = pocket.start().pages[0]
    page.goto(f"{server.url}/sign-in")
    assert [one["state"] for one in stored(page, "entry")] == ["waiting"]
    sign_in(page, "Olga Operator")
    sent(page)

    assert [one["state"] for one in stored(page, "entry")] == ["sent"]
    assert len(server.kinds("defect")) == 1


@pytest.mark.long
def test_what_was_kept_outlives_fifty_killed_browsers(server: Server, pocket: Pocket):
    crash(server, pocket, times=50)
