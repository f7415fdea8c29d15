"""The operator's whole story with the server's process stopped: from label to strict result."""

import hashlib
import io
import sqlite3

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.away import Server, begin, sent, sign, stored, walk, walk_away
from walkaround.store.photos import AS_SENT, Folder

pytestmark = pytest.mark.browser


def label(server: Server) -> str:
    """Return where the QR of L07's label leads."""
    server.site.command("labels", "--out", str(server.site.data / "labels.pdf"))
    with sqlite3.connect(server.site.data / "walkaround.db") as db:
        (token,) = db.execute("select token from label where unit = 'L07'").fetchone()
    return f"{server.url}/q/{token}"


def test_from_the_label_to_a_strict_result_and_everything_arrives_once(server: Server, phone: Page):
    scanned = label(server)
    phone.reload()
    while not next(one for one in stored(phone, "heard") if one.get("number") == "L07")["label"]:
        phone.wait_for_timeout(100)
    server.stop()

    phone.goto(scanned)
    expect(phone.get_by_role("heading", name="Not checked")).to_be_visible()
    expect(phone.locator("main")).to_contain_text("0 min ago")
    phone.get_by_role("link", name="Walk round it").tap()
    begin(phone)
    walk(phone, bad="horn")
    sign(phone)

    expect(phone.get_by_role("heading", name="Tagged out")).to_be_visible()
    expect(phone.get_by_text("Kept on this phone at")).to_be_visible()
    expect(phone.get_by_text("1 entry waits to be sent")).to_be_visible()
    server.start()
    sent(phone)
    (entry,) = server.kinds("walkaround")
    assert (entry["signature"], entry["by"]) == ("confirmed", "101")
    assert [one["answer"] for one in entry["body"]["answers"] if one["item"] == "horn"] == [
        "defect"
    ]
    phone.goto(f"{server.url}/units/L07")
    expect(phone.get_by_role("heading", name="Tagged out")).to_be_visible()


def test_a_clean_walk_says_ok_only_as_far_as_was_heard(server: Server, phone: Page):
    walk_away(server, phone)

    expect(phone.get_by_role("heading", name="OK to run")).to_be_visible()
    expect(phone.get_by_text("The office has not heard yet.")).to_be_visible()


def test_where_a_site_wants_no_verdict_without_a_signal_there_is_none(server: Server, phone: Page):
    server.site.command("site", "set", "--offline-limit", "0")
    phone.reload()
    phone.wait_for_timeout(1000)

    walk_away(server, phone)

    expect(phone.get_by_role("heading", name="In order by this check")).to_be_visible()
    expect(phone.get_by_text("Ask there before you start it.")).to_be_visible()


def test_photos_arrive_whole_under_the_hash_of_what_was_kept(server: Server, phone: Page):
    walk_away(server, phone, bad="tyre")
    expect(phone.get_by_text("Kept on this phone at")).to_be_visible()
    (kept,) = stored(phone, "photo")

    server.start()
    sent(phone)

    (entry,) = server.kinds("walkaround")
    named = [name for one in entry["body"]["answers"] for name in one.get("photos", ())]
    as_sent = Folder(server.site.data / "photos").read(f"{kept['sha256']}.{AS_SENT}")
    assert named == [kept["sha256"]]
    assert as_sent is not None
    assert hashlib.sha256(as_sent).hexdigest() == kept["sha256"]
    assert len(as_sent) == kept["bytes"]
    assert Image.open(io.BytesIO(as_sent)).getexif() == {}  # drawn anew: nobody learns where it was
