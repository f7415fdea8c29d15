"""What was found without a signal is cleared on the same phone before the office hears of it."""

import pytest
from playwright.sync_api import Page, expect

from tests.away import Server, sent, signed_in, stored, walk_away
from tests.chromium import Open
from tests.pictures import jpeg
from tests.server import CREW

pytestmark = pytest.mark.browser

PUT_AWAY = """async (kind) => {
  const start = document.querySelector("script[type=module]").src
  const { all, remove } = await import(start.replace("start.js", "db.js"))
  const [found] = (await all("entry")).filter(({ entry }) => entry.kind === kind)
  await remove("entry", found.id)
  return found
}"""
PUT_BACK = """async (record) => {
  const start = document.querySelector("script[type=module]").src
  const { put } = await import(start.replace("start.js", "db.js"))
  await put("entry", record)
}"""


def found_and_cleared(server: Server, phone: Page) -> None:
    """Let the operator find the horn bad, and the mechanic clear it, both with no server there."""
    walk_away(server, phone, bad="horn")
    expect(phone.get_by_text("Kept on this phone at")).to_be_visible()
    phone.get_by_role("link", name="To the unit").tap()
    row = phone.locator("[data-part=lines] li").filter(has_text="Horn: ")
    expect(row).to_contain_text("found on this phone")
    row.get_by_role("link").tap()
    sign_clear(phone)


def sign_clear(phone: Page) -> None:
    """Clear the line that is shown as the mechanic, on the operator's phone."""
    expect(phone.locator("form")).to_contain_text("Horn: ")
    phone.get_by_text("Repaired").first.tap()
    phone.get_by_label("What was done").fill("New relay")
    phone.get_by_text("Somebody else signs").tap()
    number, _, pin = CREW["Milan Mechanic"]
    phone.get_by_label("Crew number").fill(number)
    phone.get_by_label("PIN").fill(pin)
    phone.get_by_role("button", name="Sign and clear it").tap()
    expect(phone.get_by_text("Kept on this phone at")).to_be_visible()
    expect(phone.get_by_role("heading", name="Tagged out")).to_be_visible()  # until it is known


@pytest.mark.parametrize("late", ["clear", "walkaround"])
def test_one_phone_finds_and_clears_in_whichever_order_it_arrives(
    server: Server, phone: Page, late: str
):
    found_and_cleared(server, phone)
    (walked,) = [one for one in stored(phone, "entry") if one["entry"]["kind"] == "walkaround"]

    held_back = phone.evaluate(PUT_AWAY, late)
    server.start()
    sent(phone)
    assert [one["kind"] for one in server.logbook()] == [*{"clear", "walkaround"} - {late}]
    phone.evaluate(PUT_BACK, held_back)
    sent(phone)

    (clear,), (walkaround,) = server.kinds("clear"), server.kinds("walkaround")
    assert clear["body"]["defects"] == [one["id"] for one in walked["found"]]
    assert (clear["by"], clear["signature"], walkaround["by"]) == ("102", "confirmed", "101")
    phone.goto(f"{server.url}/units/L07")
    expect(phone.get_by_role("heading", name="Tagged out")).to_be_hidden()
    expect(phone.get_by_role("heading", name="Open defects")).to_be_hidden()


NO_PHOTO = {"name": "work.jpg", "mimeType": "image/jpeg", "buffer": b"no picture at all"}
NO_ROOM = """() => {
  const put = IDBObjectStore.prototype.put
  IDBObjectStore.prototype.put = function (value) {
    if (this.name === "photo") throw new DOMException("full", "QuotaExceededError")
    return put.call(this, value)
  }
}"""


def clearing(server: Server, open_phone: Open, phone: Page) -> Page:
    """Find the horn bad, open the server's page to clear it, say what was done, lose the server."""
    walk_away(server, phone, bad="horn")
    server.start()
    sent(phone)
    mechanic = signed_in(server, open_phone(), "Milan Mechanic")
    mechanic.goto(f"{server.url}/units/L07")
    mechanic.locator(".row__link", has_text="Horn").tap()
    mechanic.get_by_role("link", name="Clear it").tap()
    mechanic.get_by_text("Repaired").first.tap()
    mechanic.get_by_label("What was done").fill("New relay")
    server.stop()
    return mechanic


def test_a_photo_of_the_work_that_finds_no_room_is_told_and_the_words_stay(
    server: Server, open_phone: Open, phone: Page
):
    mechanic = clearing(server, open_phone, phone)
    mechanic.evaluate(NO_ROOM)
    photo = {"name": "work.jpg", "mimeType": "image/jpeg", "buffer": jpeg()}
    mechanic.locator("[type=file]").set_input_files(photo)

    mechanic.get_by_role("button", name="Sign and clear it").tap()

    expect(mechanic.get_by_text("It could not be kept")).to_be_visible()
    expect(mechanic.get_by_label("What was done")).to_have_value("New relay")


def test_what_is_no_photo_is_told_in_the_place_of_a_full_phone(
    server: Server, open_phone: Open, phone: Page
):
    mechanic = clearing(server, open_phone, phone)
    mechanic.locator("[type=file]").set_input_files(NO_PHOTO)
    mechanic.get_by_role("button", name="Sign and clear it").tap()
    expect(mechanic.get_by_text("This cannot be read as a photo")).to_be_visible()

    mechanic.locator("[type=file]").set_input_files([])
    mechanic.get_by_role("button", name="Sign and clear it").tap()

    expect(mechanic.get_by_text("Kept on this phone at")).to_be_visible()
