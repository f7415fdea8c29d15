"""What a browser asks for before it puts the program on the home screen.

Where no other source stands beside a check: W3C Web Application Manifest,
https://www.w3.org/TR/appmanifest/, and its supplement for `description` and `screenshots`,
https://www.w3.org/TR/manifest-app-info/.
"""

import io
import re
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import pytest
from PIL import Image

from walkaround.web import assets

SITE = "http://localhost/manifest.webmanifest"
SHOTS = ("narrow", "wide")
MEMBERS = {
    "id", "name", "short_name", "description", "lang", "dir", "start_url", "scope", "display",
    "background_color", "theme_color", "icons", "screenshots", "shortcuts",
}  # fmt: skip


@pytest.fixture
def manifest(client):
    """The manifest as a browser gets it: by somebody without a cookie."""
    return client.get("/manifest.webmanifest").json


def images(manifest):
    """Return every image that a manifest names."""
    icons = [icon for shortcut in manifest["shortcuts"] for icon in shortcut["icons"]]
    return [*manifest["icons"], *icons, *manifest["screenshots"]]


def test_anybody_gets_it_as_what_it_is(client):
    answer = client.get("/manifest.webmanifest")

    assert answer.status_code == 200
    assert answer.mimetype == "application/manifest+json"
    assert answer.headers["Cache-Control"] == "no-cache"
    assert "Set-Cookie" not in answer.headers


def test_it_has_the_members_that_phones_ask_for_and_no_misspelt_one(manifest):
    assert set(manifest) == MEMBERS
    assert manifest["display"] == "standalone"
    assert (manifest["lang"], manifest["dir"]) == ("en", "ltr")


def test_its_names_fit_below_an_icon_and_into_a_dialog(manifest):
    # 12 letters: common practice, no source; 300: Chromium, components/webapps/common/constants.cc
    assert len(manifest["short_name"]) <= 12
    assert 40 < len(manifest["description"]) <= 300
    assert all(shortcut["name"] for shortcut in manifest["shortcuts"])


def test_all_addresses_stay_inside_the_site(manifest):
    scope = urljoin(SITE, manifest["scope"])
    led = [manifest["id"], manifest["start_url"], *(one["url"] for one in manifest["shortcuts"])]

    assert scope == "http://localhost/"
    assert all(urljoin(SITE, address).startswith(scope) for address in led)
    assert all(urljoin(SITE, one["src"]).startswith(scope) for one in images(manifest))


def test_its_shortcuts_are_to_scan_and_to_what_waits(manifest):
    found = [(one["name"], one["url"]) for one in manifest["shortcuts"]]

    assert found == [("Scan a label", "/scan"), ("Waiting to be sent", "/waiting")]


def test_every_image_is_there_as_large_and_of_the_kind_that_it_says(client, manifest):
    for one in images(manifest):
        answer = client.get(one["src"], buffered=True)
        picture = Image.open(io.BytesIO(answer.data))

        assert (answer.status_code, answer.mimetype) == (200, one["type"]), one
        assert "{}x{}".format(*picture.size) == one["sizes"]
        assert picture.get_format_mimetype() == one["type"]


def test_icons_are_there_for_every_purpose_each_with_a_picture_of_its_own(manifest):
    found = {(one["purpose"], one["sizes"]) for one in manifest["icons"]}

    # Chromium asks for 192 and 512 (developer.mozilla.org, "Making PWAs installable")
    assert found == {(p, s) for p in ("any", "maskable") for s in ("192x192", "512x512")}
    assert len({one["src"] for one in manifest["icons"]}) == 4


def test_a_shortcut_has_an_icon_of_96_px_that_may_be_masked(manifest):
    # at least 96: from memory, what Chromium's own tools ask for
    for shortcut in manifest["shortcuts"]:
        sizes = {one["sizes"]: one["purpose"] for one in shortcut["icons"]}

        assert sizes["96x96"] == "any maskable"


def test_screenshots_are_of_both_forms_have_words_and_are_shown(manifest):
    # 2.3: Chromium, components/webapps/common/constants.cc; 320 to 3840 px from memory, likewise
    assert [one["form_factor"] for one in manifest["screenshots"]] == ["narrow", "wide"]
    for one in manifest["screenshots"]:
        width, height = map(int, one["sizes"].split("x"))

        assert one["label"].strip()
        assert 320 <= min(width, height) <= max(width, height) <= 3840
        assert max(width, height) <= 2.3 * min(width, height)
        assert (width > height) == (one["form_factor"] == "wide")


def test_screenshots_cost_a_slow_line_little():
    files = [assets.ROOT / "install" / f"{name}.png" for name in SHOTS]

    assert sum(path.stat().st_size for path in files) < 150_000


def test_an_address_changes_with_its_picture_alone(manifest):
    for one in images(manifest):
        address = urlsplit(one["src"])

        assert re.fullmatch(r"/install/[a-z]+(-\d+)?\.png", address.path)
        assert re.fullmatch(r"[0-9a-f]{8}", address.query)
        assert assets.digest() not in one["src"]


def test_its_colours_are_those_of_a_page_by_day(client, manifest):
    by_day = client.page("/scan").find("meta", media="(prefers-color-scheme: light)")["content"]
    tokens = Path(assets.ROOT, "css", "tokens.css").read_text()

    assert manifest["theme_color"] == manifest["background_color"] == by_day
    assert f"--color-paper: {by_day};" in tokens


def test_a_spanish_phone_gets_it_in_spanish(client, monkeypatch):
    monkeypatch.setattr("walkaround.words.catalogue", {"es": {"Scan a label": "Leer"}}.get)

    found = client.get("/manifest.webmanifest", headers={"Accept-Language": "es"}).json

    assert found["lang"] == "es"
    assert found["shortcuts"][0]["name"] == "Leer"
    assert found["name"] == "Walkaround"


def test_it_says_nothing_of_the_site_or_of_whoever_is_signed_in(client, supervisor):
    of_stranger, of_supervisor = (
        one.get("/manifest.webmanifest").data for one in (client, supervisor)
    )

    assert of_supervisor == of_stranger


@pytest.mark.parametrize("path", ["/scan", "/sign-in", "/nothing"])
def test_every_page_leads_to_it_and_to_the_icon_of_apple_phones(client, path):
    page = client.page(path, status=404 if path == "/nothing" else 200)
    icon = client.get(page.find("link", rel="apple-touch-icon")["href"], buffered=True)

    assert page.find("link", rel="manifest")["href"] == "/manifest.webmanifest"
    # 180: from memory, what an iPhone shows
    assert Image.open(io.BytesIO(icon.data)).size == (180, 180)


@pytest.mark.parametrize("name", ["nothing.png", "..%2ftokens.css", "../css/tokens.css"])
def test_nothing_else_is_had_by_that_way(client, name):
    assert client.get(f"/install/{name}").status_code == 404
