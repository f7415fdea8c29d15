"""The phone's disk: strict writes, a full store, a lost database, clocks, two windows that send."""

import io
import json
import os
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, Request, expect

from tests.away import (
    HAS_KEPT,
    Server,
    begin,
    here,
    sent,
    sign,
    signed_in,
    stored,
    until,
    walk,
    walk_away,
)
from tests.chromium import Open

pytestmark = pytest.mark.browser

KEPT = "Kept on this phone at"

# What a write asks for and gets, noted before any script of a page runs.
WATCH = """
const made = IDBDatabase.prototype.transaction
globalThis.writes = []
IDBDatabase.prototype.transaction = function (stores, mode, options) {
  const tx = made.call(this, stores, mode, options)
  if (mode === "readwrite") writes.push([[...stores], options?.durability, tx.durability])
  return tx
}
"""


def open_report(server: Server, page: Page) -> None:
    server.stop()
    page.goto(f"{server.url}/units/L07/defects/new")
    page.get_by_label("In your own words").fill("Smoke")


def test_every_write_asks_for_the_disk_and_gets_it(server: Server, phone: Page):
    phone.add_init_script(WATCH)
    phone.add_init_script(
        "addEventListener('pagehide', () => (localStorage.writes = JSON.stringify(writes)))"
    )
    open_report(server, phone)

    phone.get_by_role("button", name="Report it").tap()
    expect(phone.get_by_text(KEPT)).to_be_visible()

    writes = json.loads(phone.evaluate("localStorage.writes"))
    assert [stores for stores, _, _ in writes if "entry" in stores]
    assert {(asked, got) for _, asked, got in writes} == {("strict", "strict")}


HOLD_BACK = """
const complete = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, "oncomplete")
Object.defineProperty(IDBTransaction.prototype, "oncomplete", {
  set(then) {
    const held = () => (globalThis.letGo ? then() : setTimeout(held, 50))
    complete.set.call(this, this.objectStoreNames.contains("draft") ? held : then)
  },
})
"""


def test_it_is_called_kept_only_when_the_transaction_is_complete(server: Server, phone: Page):
    phone.add_init_script(HOLD_BACK)
    open_report(server, phone)

    phone.get_by_role("button", name="Report it").tap()
    phone.wait_for_timeout(1500)

    assert "/kept/result" not in phone.url
    assert not phone.get_by_text(KEPT).is_visible()
    phone.evaluate("globalThis.letGo = true")
    expect(phone.get_by_text(KEPT)).to_be_visible()


def test_what_was_undone_is_not_called_kept_and_stays_on_the_screen(server: Server, phone: Page):
    open_report(server, phone)
    phone.evaluate(
        """() => {
          const put = IDBObjectStore.prototype.put
          IDBObjectStore.prototype.put = function (value) {
            const request = put.call(this, value)
            const undo = () => this.transaction.abort()
            if (this.name === "entry") request.addEventListener("success", undo)
            return request
          }
          globalThis.mend = () => (IDBObjectStore.prototype.put = put)
        }"""
    )

    phone.get_by_role("button", name="Report it").tap()

    expect(phone.get_by_text("It could not be kept")).to_be_visible()
    expect(phone.get_by_label("In your own words")).to_have_value("Smoke")
    assert stored(phone, "entry") == []
    phone.evaluate("void mend()")
    phone.get_by_role("button", name="Report it").tap()
    expect(phone.get_by_text(KEPT)).to_be_visible()


HOLDS_BACK = """async () => {
  const start = document.querySelector("script[type=module]").src
  const { has } = await import(start.replace("start.js", "db.js"))
  return has("phone", "reserve")
}"""
HELD_BACK = "navigator.storage.estimate().then((one) => one.usageDetails.indexedDB > 1_000_000)"


def test_what_is_held_back_takes_its_room_on_the_disk(server: Server, phone: Page):
    until(phone, HOLDS_BACK)

    until(phone, HELD_BACK)


def nearly_full(server: Server, context: BrowserContext) -> Page:
    """Return a phone on which less than 100 kB are left for this site."""
    before = context.new_page()
    before.goto(f"{server.url}/healthz")
    quota = {"origin": server.url, "quotaSize": 8_000_000}
    # The browser remembers for half a minute how much room there was: so before the first write.
    context.new_cdp_session(before).send("Storage.overrideQuotaForOrigin", quota)
    page = signed_in(server, context)
    until(page, HOLDS_BACK)
    page.evaluate(
        """async () => {
          const start = document.querySelector("script[type=module]").src
          const { put } = await import(start.replace("start.js", "db.js"))
          const fill = (size) => crypto.getRandomValues(new Uint8Array(size)).buffer
          for (let key = 0, fits = true; fits; key++) {
            const value = Array.from({ length: 2 }, () => fill(50_000))
            fits = await put("phone", { key, value }).then(() => true, () => false)
          }
        }"""
    )
    return page


def noise(size: int) -> bytes:
    """Return a photo that no encoder makes small."""
    file = io.BytesIO()
    Image.frombytes("RGB", (size, size), os.urandom(size * size * 3)).save(file, "PNG")
    return file.getvalue()


def test_a_full_phone_costs_a_photo_and_never_the_words(server: Server, open_phone: Open):
    phone = nearly_full(server, open_phone())
    server.stop()
    phone.goto(f"{server.url}/units/L07")
    phone.get_by_role("link", name="Walk round it").tap()
    begin(phone)

    here(phone).locator(".answer").filter(has=phone.locator("[value=defect]")).tap()
    here(phone).locator("textarea").fill("Since this morning")
    picture = {"name": "seen.png", "mimeType": "image/png", "buffer": noise(1200)}
    here(phone).locator("[type=file]").set_input_files(picture)
    expect(here(phone)).to_contain_text("Your words are kept.")
    here(phone).get_by_role("button", name="Next").tap()
    phone.wait_for_timeout(400)
    walk(phone)
    sign(phone)

    expect(phone.get_by_role("heading", name="Tagged out")).to_be_visible()
    (entry,) = stored(phone, "entry")
    assert entry["entry"]["body"]["answers"][0]["note"] == "Since this morning"
    assert entry["photos"] == []
    phone.goto(f"{server.url}/waiting")
    expect(phone.get_by_text("1 entry waits to be sent")).to_be_visible()


def test_what_is_no_photo_is_told_so_and_the_words_are_kept(server: Server, phone: Page):
    open_report(server, phone)
    none = {"name": "seen.jpg", "mimeType": "image/jpeg", "buffer": b"no picture at all"}
    phone.locator("[type=file]").set_input_files(none)
    expect(phone.get_by_text("This cannot be read as a photo and is not kept.")).to_be_visible()

    phone.get_by_role("button", name="Report it").tap()

    expect(phone.get_by_text(KEPT)).to_be_visible()


def test_a_lost_database_is_opened_anew(server: Server, phone: Page):
    open_report(server, phone)
    phone.evaluate(
        """() => {
          const made = IDBDatabase.prototype.transaction
          let first
          IDBDatabase.prototype.transaction = function (...words) {
            first ??= this
            if (this === first) throw new DOMException("It was lost.", "InvalidStateError")
            return made.apply(this, words)
          }
        }"""
    )

    phone.get_by_role("button", name="Report it").tap()

    expect(phone.get_by_text(KEPT)).to_be_visible()


def test_two_windows_send_each_entry_once(server: Server, phone: Page):
    for place in range(3):
        open_report(server, phone)
        phone.get_by_label("In your own words").fill(f"Number {place}")
        phone.get_by_role("button", name="Report it").tap()
        expect(phone.get_by_text(KEPT)).to_be_visible()
    posts: list[Any] = []

    def count(request: Request) -> None:
        if request.method == "POST" and request.url.endswith("/api/v1/entries"):
            posts.extend(one["id"] for one in json.loads(request.post_data or "{}")["entries"])

    phone.context.on("request", count)
    other = phone.context.new_page()
    for page in (phone, other):
        page.goto(f"{server.url}/waiting")
    server.start()
    for page in (phone, other):
        page.locator("[data-part=send]").evaluate("(button) => button.click()")
    expect(phone.get_by_text("Nothing waits.")).to_be_visible()

    assert len(posts) == len(set(posts)) == 3
    assert len(server.kinds("defect")) == 3


@pytest.mark.parametrize("hours", [3, -48])
def test_a_wrong_clock_is_told_and_put_right_where_it_counts(
    server: Server, phone: Page, hours: int
):
    phone.add_init_script(
        f"""const now = Date.now
        Date.now = () => now() + {hours} * 3600000
        globalThis.Date = class extends Date {{
          constructor(...words) {{ super(...(words.length ? words : [Date.now()])) }}
        }}"""
    )
    open_report(server, phone)
    phone.get_by_role("button", name="Report it").tap()
    expect(phone.get_by_text(KEPT)).to_be_visible()

    server.start()
    sent(phone)

    (entry,) = server.kinds("defect")
    assert entry["skew_ms"] == pytest.approx(-hours * 3_600_000, abs=60_000)
    assert entry["signature"] == "confirmed"


def test_what_was_heard_is_too_old_once_the_clock_was_set_back(server: Server, phone: Page):
    server.stop()
    phone.goto(f"{server.url}/units/L07")
    expect(phone.get_by_text("0 min ago")).to_be_visible()

    phone.add_init_script("const now = Date.now; Date.now = () => now() - 2 * 86400000")
    phone.reload()

    expect(phone.get_by_text("The clock of this phone was changed since.")).to_be_visible()


ASKED = """
if (navigator.storage) navigator.storage.persist = async () => {
  localStorage.asked = Number(localStorage.asked ?? 0) + 1
  return true
}
"""
FILLING = """
if (navigator.storage) navigator.storage.estimate = async () => ({ usage: 81, quota: 100 })
"""


def test_the_browser_is_asked_to_keep_things_when_there_is_something_to_keep(
    server: Server, open_phone: Open
):
    context = open_phone()
    context.add_init_script(ASKED)

    page = signed_in(server, context)
    page.reload()
    until(page, HAS_KEPT)

    assert page.evaluate("localStorage.asked") == "1"


def test_a_phone_that_is_nearly_full_says_so_on_every_page(server: Server, phone: Page):
    phone.goto(f"{server.url}/units/L07")
    expect(phone.get_by_text("nearly full")).to_be_hidden()
    phone.context.add_init_script(FILLING)

    phone.reload()
    phone.get_by_role("link", name="This phone is nearly full").tap()

    expect(phone.get_by_text("More than four fifths of the room are used")).to_be_visible()


NOT_OPENED = """
if (globalThis.IDBFactory) IDBFactory.prototype.open = () => {
  throw new DOMException("It is not allowed here.", "InvalidStateError")
}
"""


@pytest.mark.parametrize("of", [NOT_OPENED, FILLING], ids=["takes nothing", "has little room"])
def test_a_window_that_may_forget_is_told(server: Server, phone: Page, of: str):
    phone.goto(f"{server.url}/waiting")
    expect(phone.get_by_text("Nothing waits.")).to_be_visible()
    assert phone.get_by_text("as in a private window").is_hidden()

    phone.context.add_init_script(of)
    phone.reload()

    expect(phone.get_by_text("as in a private window")).to_be_visible()


def test_a_photo_that_the_server_does_not_take_is_named_and_goes_when_asked(
    server: Server, phone: Page
):
    refuse = lambda route: route.fulfill(status=413)  # noqa: E731 -- as a proxy with a low limit
    phone.context.route("**/api/v1/photos/*", refuse)
    walk_away(server, phone, bad="seat")
    server.start()
    phone.goto(f"{server.url}/waiting")
    phone.get_by_role("button", name="Send now").tap()
    expect(phone.get_by_text("The server did not take 1 photo.")).to_be_visible()

    phone.context.unroute("**/api/v1/photos/*", refuse)
    phone.get_by_role("button", name="Send now").tap()

    expect(phone.get_by_text("Nothing waits.")).to_be_visible()
