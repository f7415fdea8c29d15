"""What else is recorded without a signal, and who signs it: forms, a shared phone, a file."""

import json
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from tests.away import Server, begin, sent, sign, sign_in, signed_in, stored, until, walk, walk_away
from tests.chromium import Open
from tests.server import CREW

pytestmark = pytest.mark.browser

# The way on is cut off, as by a page that was slow to come.
STAY = """navigation.addEventListener("navigate", (event) => {
  event.preventDefault()
  globalThis.led = (globalThis.led ?? 0) + 1
})"""
KEPT = "Kept on this phone at"


def open_unit(server: Server, page: Page) -> None:
    server.stop()
    page.goto(f"{server.url}/units/L07")
    expect(page.get_by_role("heading", name="Unit, as last heard")).to_be_visible()


def report(page: Page) -> None:
    page.get_by_role("link", name="Report a defect").tap()
    page.get_by_label("Where is it?").select_option("seat")
    page.get_by_text("torn").tap()
    page.get_by_role("button", name="Report it").tap()
    expect(page.get_by_text(KEPT)).to_be_visible()


def test_a_defect_hours_and_a_fill_are_recorded_without_a_signal(server: Server, phone: Page):
    open_unit(server, phone)
    report(phone)
    expect(phone.get_by_role("heading", name="Tagged out")).to_be_visible()
    phone.goto(f"{server.url}/units/L07/hours/new")
    phone.get_by_label("Hour meter").fill("84,5")
    phone.get_by_role("button", name="Record it").tap()
    expect(phone.get_by_text(KEPT)).to_be_visible()
    phone.goto(f"{server.url}/units/L07/fills/new")
    phone.locator(".choice").filter(has_text="Diesel").first.tap()
    phone.get_by_label("How much").fill("120")
    phone.get_by_role("button", name="Record it").tap()
    expect(phone.get_by_text("3 entries wait to be sent")).to_be_visible()

    server.start()
    sent(phone)

    told = {one["kind"]: one["body"] for one in server.logbook()}
    assert told["defect"] == {"findings": ["torn"], "item": "seat", "what": "torn"}
    assert told["hours"] == {"value": 84.5}
    assert told["fill"] == {"fluid": "diesel", "litres": 120}


def test_a_second_tap_makes_no_second_entry(server: Server, phone: Page):
    server.stop()
    phone.goto(f"{server.url}/units/L07/hours/new")
    phone.get_by_label("Hour meter").fill("84,5")
    phone.evaluate(STAY)

    for taps in (1, 2):
        phone.get_by_role("button", name="Record it").tap()
        until(phone, f"() => globalThis.led === {taps}")

    (entry,) = stored(phone, "entry")
    assert entry["entry"]["body"] == {"value": 84.5}


def test_a_mechanic_clears_what_another_phone_found_once_the_office_has_it(
    server: Server, open_phone: Open, phone: Page
):
    open_unit(server, phone)
    report(phone)
    server.start()
    sent(phone)
    mechanic = signed_in(server, open_phone(), "Milan Mechanic")
    server.stop()

    mechanic.goto(f"{server.url}/units/L07")
    mechanic.get_by_role("link", name="Seat").tap()
    mechanic.get_by_text("Repaired").first.tap()
    mechanic.get_by_label("What was done").fill("New cover")
    mechanic.get_by_role("button", name="Sign and clear it").tap()

    expect(mechanic.get_by_role("heading", name="Tagged out")).to_be_visible()  # until it is known
    server.start()
    sent(mechanic)
    (defect,), (clear,) = server.kinds("defect"), server.kinds("clear")
    assert clear["body"] == {
        "defects": [defect["id"]],
        "outcome": "repaired",
        "work": "New cover",
    }
    mechanic.goto(f"{server.url}/units/L07")
    expect(mechanic.get_by_role("heading", name="Not checked")).to_be_visible()


def hand_over(server: Server, phone: Page, pin: str) -> None:
    """Walk L07 without a signal as the mechanic, on the operator's phone."""
    open_unit(server, phone)
    phone.get_by_role("link", name="Walk round it").tap()
    begin(phone)
    walk(phone)
    phone.get_by_text("Somebody else signs").tap()
    phone.get_by_label("Crew number").fill(CREW["Milan Mechanic"][0])
    phone.get_by_label("PIN").fill(pin)
    sign(phone)
    expect(phone.get_by_text(KEPT)).to_be_visible()


def test_the_next_person_signs_with_number_and_pin_that_only_the_server_opens(
    server: Server, phone: Page
):
    number, _, pin = CREW["Milan Mechanic"]

    hand_over(server, phone, pin)

    expect(phone.get_by_role("heading", name="In order by this check")).to_be_visible()
    everything = json.dumps(
        [stored(phone, store) for store in ("draft", "entry", "heard", "phone")]
    )
    assert pin not in everything
    server.start()
    sent(phone)  # the operator is the one who is signed in
    (entry,) = server.kinds("walkaround")
    assert (entry["by"], entry["signature"]) == (number, "confirmed")


def test_a_wrong_pin_is_told_and_its_good_answers_count_for_nothing(server: Server, phone: Page):
    hand_over(server, phone, "0000")

    server.start()
    phone.goto(f"{server.url}/waiting")
    phone.get_by_role("button", name="Send now").tap()

    expect(phone.get_by_text("The office has it, unconfirmed")).to_be_visible()
    (entry,) = server.kinds("walkaround")
    assert (entry["by"], entry["signature"]) == ("102", "unconfirmed")
    phone.goto(f"{server.url}/units/L07")
    expect(phone.get_by_role("heading", name="Not checked")).to_be_visible()


def test_a_wrong_pin_stays_unconfirmed_until_its_maker_says_that_it_is_theirs(
    server: Server, phone: Page
):
    hand_over(server, phone, "0000")
    server.start()
    phone.context.clear_cookies(name="walkaround-session")
    phone.goto(f"{server.url}/sign-in?next=/waiting")
    sign_in(phone, "Milan Mechanic")

    expect(phone.get_by_text("Crew 102 confirms it, if they made it.")).to_be_visible()
    phone.get_by_role("button", name="Send now").tap()
    phone.wait_for_timeout(1000)
    assert [one["signature"] for one in server.logbook()] == ["unconfirmed"]
    phone.get_by_role("link", name="Confirm it").tap()
    phone.get_by_role("button", name="I made this entry").tap()
    expect(phone.get_by_role("heading", name="Logbook")).to_be_visible()
    assert [one["kind"] for one in server.logbook()] == ["walkaround", "confirm"]


def test_what_one_made_is_never_sent_as_the_next_ones(
    server: Server, open_phone: Open, phone: Page
):
    open_unit(server, phone)
    report(phone)
    server.start()
    phone.context.clear_cookies(name="walkaround-session")

    phone.goto(f"{server.url}/waiting")
    phone.get_by_role("button", name="Send now").tap()
    expect(phone.get_by_text("Sign in to send them")).to_be_visible()
    phone.get_by_role("link", name="Sign in").tap()
    sign_in(phone, "Milan Mechanic")
    phone.goto(f"{server.url}/waiting")

    expect(phone.get_by_text("The office has it, unconfirmed")).to_be_visible()
    (entry,) = server.kinds("defect")
    assert (entry["by"], entry["signature"]) == ("101", "unconfirmed")
    phone.context.clear_cookies(name="walkaround-session")
    phone.goto(f"{server.url}/sign-in")
    sign_in(phone, "Olga Operator")
    sent(phone)
    assert [(one["kind"], one["by"]) for one in server.logbook()] == [
        ("defect", "101"),
        ("confirm", "101"),
    ]


def test_what_waits_goes_over_as_a_file_and_is_sent_all_the_same(
    server: Server, phone: Page, tmp_path: Path
):
    walk_away(server, phone, bad="tyre")
    expect(phone.get_by_text(KEPT)).to_be_visible()
    phone.goto(f"{server.url}/waiting")

    with phone.expect_download() as download:
        phone.get_by_role("button", name="Save as a file").tap()
    file = tmp_path / "waiting.json"
    download.value.save_as(file)
    told = server.site.command("import", "entries", str(file))
    again = server.site.command("import", "entries", str(file))

    assert "1 entries were accepted (1 do not count fully), 0 known" in told
    assert "0 entries were accepted (0 do not count fully), 1 known" in again
    (entry,) = server.kinds("walkaround")
    assert entry["signature"] == "unconfirmed"  # nobody has signed in for it yet
    server.start()
    sent(phone)
    assert [one["kind"] for one in server.logbook()] == ["walkaround", "confirm"]


def test_what_is_on_its_way_is_shown_as_being_sent(server: Server, phone: Page):
    open_unit(server, phone)
    report(phone)
    phone.goto(f"{server.url}/waiting")
    expect(phone.get_by_text("Waiting to be sent").last).to_be_visible()
    held: list[Route] = []
    phone.route("**/api/v1/entries", lambda route: held.append(route))
    server.start()

    phone.get_by_role("button", name="Send now").tap()

    expect(phone.get_by_text("Being sent")).to_be_visible()
    held[0].continue_()
    expect(phone.get_by_text("The office has it")).to_be_visible()
    expect(phone.get_by_text("Being sent")).to_be_hidden()


# The office has the words; the line broke before the photo.
WORDS_SENT = """async () => {
  const start = document.querySelector("script[type=module]").src
  const { change, entries } = await import(start.replace("start.js", "entries.js"))
  for (const { id } of await entries()) await change(id, { state: "sent", sent_at: Date.now() })
}"""


def test_photos_alone_still_wait_and_go_over_as_a_file(server: Server, phone: Page, tmp_path: Path):
    walk_away(server, phone, bad="tyre")
    expect(phone.get_by_text(KEPT)).to_be_visible()
    phone.evaluate(WORDS_SENT)
    phone.goto(f"{server.url}/waiting")

    expect(phone.get_by_text("1 photo is still on this phone.")).to_be_visible()
    expect(phone.get_by_text("Nothing waits.")).to_be_hidden()
    with phone.expect_download() as download:
        phone.get_by_role("button", name="Save as a file").tap()
    download.value.save_as(tmp_path / "waiting.json")
    told = server.site.command("import", "entries", str(tmp_path / "waiting.json"))
    assert "0 entries were accepted" in told
    assert "1 photos are here." in told
    server.start()
    sent(phone)


# As in browsers that wake no page in the background.
NO_SYNC = "delete globalThis.SyncManager; delete ServiceWorkerRegistration.prototype.sync"


def test_where_nothing_wakes_the_phone_its_page_sends_without_a_tap(server: Server, phone: Page):
    phone.add_init_script(NO_SYNC)
    open_unit(server, phone)
    report(phone)
    assert phone.evaluate("'sync' in ServiceWorkerRegistration.prototype") is False
    server.start()

    phone.evaluate("dispatchEvent(new Event('online'))")

    expect(phone.get_by_text("The office has it")).to_be_visible(timeout=20_000)
    assert len(server.kinds("defect")) == 1
