"""Takes the README's screenshots from the demo site: .venv/bin/python demo/screenshots.py"""

import os
import re
import shutil
import socket
import subprocess
import tempfile
import time
import urllib.request
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

TOP = Path(__file__).resolve().parent.parent
OUT = TOP / "demo" / "screenshots"
WALKAROUND = str(TOP / ".venv" / "bin" / "walkaround")
PHONE = {"viewport": {"width": 390, "height": 844}, "is_mobile": True, "has_touch": True}
DESK = {"viewport": {"width": 1440, "height": 900}}
INSTALL = TOP / "static" / "install"
SHOWN_BEFORE_INSTALLING = {"walk": "narrow", "board": "wide"}  # as the manifest calls them
PERSON = re.compile(r"(operator|mechanic|supervisor)\s+crew number (\w+), PIN (\d+)")


def main() -> None:
    """Fill a site, serve it, and look at it."""
    OUT.mkdir(exist_ok=True)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        url = f"http://127.0.0.1:{probe.getsockname()[1]}"
    with tempfile.TemporaryDirectory() as data:
        environment = {**os.environ, "WALKAROUND_DATA": data, "WALKAROUND_BASE_URL": url}
        said = subprocess.check_output([WALKAROUND, "demo"], env=environment, text=True)
        crew = {role: (number, pin) for role, number, pin in PERSON.findall(said)}
        port = url.rpartition(":")[2]
        server = subprocess.Popen([WALKAROUND, "serve", "--port", port], env=environment)
        try:
            wait_for(f"{url}/readyz")
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
                shoot(browser, url, environment, crew)
        finally:
            server.terminate()
            server.wait()
    for_the_manifest()


def for_the_manifest() -> None:
    """Keep what a phone shows before it installs the program, in few colours."""
    for name, form_factor in SHOWN_BEFORE_INSTALLING.items():
        shot = Image.open(OUT / f"{name}.png").convert("RGB")
        shot.quantize(64).save(INSTALL / f"{form_factor}.png", optimize=True)


def wait_for(address: str) -> None:
    for _ in range(100):
        try:
            urllib.request.urlopen(address)
            return
        except OSError:
            time.sleep(0.1)
    raise SystemExit(f"{address} does not answer")


def shoot(
    browser: Browser, url: str, environment: dict[str, str], crew: dict[str, tuple[str, str]]
) -> None:
    def signed_in(role: str, **device: object) -> Page:
        page = browser.new_context(**device).new_page()  # type: ignore[arg-type]
        page.goto(subprocess.check_output([WALKAROUND, "phone", "add"], env=environment, text=True))
        page.fill("#crew_number", crew[role][0])
        page.fill("#pin", crew[role][1])
        page.click("form .button")
        page.wait_for_load_state()
        return page

    board = signed_in("supervisor", **DESK)
    board.screenshot(path=OUT / "board.png")
    mechanic = signed_in("mechanic", **PHONE)
    mechanic.screenshot(path=OUT / "defects.png")
    board.locator(".row__link").first.click()
    tagged_out = re.sub(r".*/units/", "", board.url)
    operator = signed_in("operator", **PHONE)
    operator.goto(f"{url}/units/{tagged_out}")
    operator.screenshot(path=OUT / "unit.png")
    walk(operator)


def walk(page: Page) -> None:
    """Open the walk of the first unit that takes one and shoot its first item."""
    page.get_by_role("link", name=re.compile("Walk round it")).first.click()
    begin = page.get_by_role("button", name="Begin")
    begin.wait_for()
    page.wait_for_timeout(500)
    begin.tap()
    page.wait_for_timeout(500)
    page.screenshot(path=OUT / "walk.png")


if __name__ == "__main__":
    main()
