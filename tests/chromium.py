"""A real browser: as a phone in the hand and as the screen in the office."""

import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Error,
    expect,
    sync_playwright,
)

from tests.programs import absent

# Nothing of its own may reach for the network or the graphics card.
FLAGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PATIENCE = 20_000  # milliseconds until a page must show what is expected, on a slow machine too
PHONE = {"viewport": {"width": 390, "height": 844}, "is_mobile": True, "has_touch": True}
DESK = {"viewport": {"width": 1440, "height": 900}}

Open = Callable[..., BrowserContext]


@pytest.fixture(scope="session")
def browser(pytestconfig: pytest.Config) -> Iterator[Browser]:
    """Chromium for this whole run: the system's, else the one that Playwright installed."""
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as playwright:
        try:
            chromium = playwright.chromium.launch(
                executable_path=shutil.which("chromium"), args=FLAGS
            )
        except Error as error:
            absent(pytestconfig, f"no Chromium starts here; bash tests/run installs it: {error}")
        yield chromium
        chromium.close()


@pytest.fixture
def open_phone(browser: Browser) -> Iterator[Open]:
    """Open a phone: `open_phone(scripts=False, dark=True, still=False, locale="es")`."""
    yield from opened_on(browser, PHONE)


@pytest.fixture
def open_desk(browser: Browser) -> Iterator[Open]:
    """Open the office's screen, with the same options as a phone."""
    yield from opened_on(browser, DESK)


def opened_on(browser: Browser, device: dict[str, Any]) -> Iterator[Open]:
    """Yield a function that opens contexts; close them afterwards and fail if a page misbehaved."""
    opened: list[BrowserContext] = []
    faults: list[str] = []

    def open_context(
        *, scripts: bool = True, dark: bool = False, still: bool = True, **options: Any
    ) -> BrowserContext:
        context = browser.new_context(
            java_script_enabled=scripts,
            color_scheme="dark" if dark else "light",
            reduced_motion="reduce" if still else "no-preference",
            **{**device, **options},
        )
        context.on("weberror", lambda error: faults.append(str(error.error)))
        context.on("console", lambda message: faults.extend(_policy_faults(message)))
        opened.append(context)
        return context

    yield open_context
    for context in opened:
        context.close()
    assert not faults, faults


def _policy_faults(message: ConsoleMessage) -> list[str]:
    return [message.text] if "Content Security Policy" in message.text else []
