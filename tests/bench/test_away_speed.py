"""A poor line and a slow phone: 400 kbit/s, 400 ms, a processor four times slower.

What limits a page hardly reaches its worker, so both are limited: else the figures are too good.
"""

import json
import time
from collections.abc import Callable
from dataclasses import replace
from statistics import median
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.away import USABLE, Server, sign_in, signed_in, until
from tests.bench.saying import say
from tests.chromium import PHONE

pytestmark = [pytest.mark.bench, pytest.mark.browser]

TIMES = 5
LINE = {
    "offline": False,
    "latency": 400,
    "downloadThroughput": 400_000 / 8,
    "uploadThroughput": 400_000 / 8,
}


@pytest.fixture
def quarry(server: Server) -> Server:
    """The server with the lists that are shipped: a walk of 40 items."""
    server.stop()
    server.site = replace(server.site, checklists=None)
    server.start()
    return server


def slow(page: Page) -> None:
    """Limit a page's line and processor, with nothing kept by the browser itself."""
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.setCacheDisabled", {"cacheDisabled": True})
    session.send("Network.emulateNetworkConditions", LINE)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})


def slow_worker(browser: Browser) -> None:
    """Limit the worker's own line."""
    session = browser.new_browser_cdp_session()
    found = session.send("Target.getTargets")["targetInfos"]
    worker = next(one for one in found if one["type"] == "service_worker")
    attached = session.send(
        "Target.attachToTarget", {"targetId": worker["targetId"], "flatten": False}
    )
    orders: list[tuple[str, dict[str, Any]]] = [
        ("Network.enable", {}),
        ("Network.emulateNetworkConditions", LINE),
    ]
    for place, (method, params) in enumerate(orders, 1):
        message = json.dumps({"id": place, "method": method, "params": params})
        session.send(
            "Target.sendMessageToTarget", {"sessionId": attached["sessionId"], "message": message}
        )


def measured(measure: Callable[[], float]) -> float:
    return median(measure() for _ in range(TIMES))


def loaded(page: Page, address: str) -> float:
    """Return how long a page takes until its HTML is there, in milliseconds."""
    page.goto(address)
    entry = "performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd"
    return float(page.evaluate(entry))


def usable(page: Page, address: str) -> float:
    """Return how long it takes until the walk can be begun, in milliseconds."""
    page.goto(address)
    until(page, "Boolean(globalThis.usable)")
    return float(page.evaluate("usable"))


def listed(page: Page, address: str) -> float:
    """Return how long it takes until the app shows its units, in milliseconds."""
    begun = time.monotonic()
    page.goto(address, wait_until="commit")
    page.locator("a", has_text="L07").first.wait_for()
    return (time.monotonic() - begun) * 1000


def test_the_first_load_of_a_walk_on_a_poor_line(quarry: Server, browser: Browser):
    context = browser.new_context(**PHONE, service_workers="block")
    page = context.new_page()
    page.goto(quarry.site.command("phone", "add").split()[-1])
    sign_in(page, "Olga Operator")
    page.add_init_script(USABLE)
    slow(page)

    floor = measured(lambda: loaded(page, f"{quarry.url}/healthz"))
    took = measured(lambda: usable(page, f"{quarry.url}/units/L07/walkarounds/new"))
    context.close()

    say(f"first load of the walk: {took:.0f} ms; an empty page: {floor:.0f} ms")
    assert took <= 3500


def test_a_walk_out_of_the_worker_on_a_slow_phone(quarry: Server, browser: Browser):
    context = browser.new_context(**PHONE)
    page = signed_in(quarry, context)
    page.add_init_script(USABLE)
    walk = f"{quarry.url}/units/L07/walkarounds/new"
    slow(page)
    slow_worker(browser)
    floor = measured(lambda: loaded(page, f"{quarry.url}/healthz"))
    quarry.stop()
    page.goto(walk)
    page.wait_for_url("**/kept/walkarounds/**")  # the kept page leads there
    walk = page.url

    least = measured(lambda: loaded(page, f"{quarry.url}/waiting"))
    took = measured(lambda: usable(page, walk))
    opened = measured(lambda: listed(page, quarry.url))
    context.close()

    say(f"walk out of the worker: {took:.0f} ms; the app opens: {opened:.0f} ms")
    say(f"least page out of the worker: {least:.0f} ms; of the server: {floor:.0f} ms")
    assert max(took, opened) <= 1000
