"""The icons of the home screen, drawn from their SVG: .venv/bin/python -m tests.icons"""

import io
import shutil
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

STATIC = Path(__file__).resolve().parent.parent / "static"
FOLDER = STATIC / "install"
GROUND = "#f4f2ec"
STYLE = f"html {{ background: {GROUND} }} body {{ margin: 0 }} svg {{ display: block }}"
SIZES = {"app": (180, 192, 512), "maskable": (192, 512), "scan": (96, 192), "waiting": (96, 192)}
# The program's own sign with more ground round it, so that it lies inside the middle 80 %.
WIDER = ('viewBox="0 0 64 64"', 'viewBox="-10.5 -11.5 85 85"')
PICTURES = [(sign, size) for sign, sizes in SIZES.items() for size in sizes]


def source(sign: str) -> str:
    """Return the drawing; that of the program itself is also the browser's own little icon."""
    if sign in ("app", "maskable"):
        text = (STATIC / "icon.svg").read_text()
        return text.replace(*WIDER) if sign == "maskable" else text
    return (FOLDER / f"{sign}.svg").read_text()


def page(sign: str) -> str:
    """Return a page that is all sign, on its ground."""
    return f"<style>{STYLE}</style>{source(sign)}"


def stored(sign: str, size: int) -> Path:
    """Return the picture that a phone gets."""
    return FOLDER / f"{sign}-{size}.png"


def drawn(browser: Browser, sign: str, size: int) -> Image.Image:
    """Return a sign as it looks that many pixels large."""
    shown = browser.new_page(viewport={"width": size, "height": size})
    shown.set_content(page(sign))
    png = shown.screenshot()
    shown.close()
    return Image.open(io.BytesIO(png)).convert("RGB")


def main() -> None:
    """Draw all of them anew."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        for sign, size in PICTURES:
            drawn(browser, sign, size).save(stored(sign, size), optimize=True)


if __name__ == "__main__":
    main()
