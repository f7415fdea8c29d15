"""A measured number on the walk, in the unit of the site."""

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.test_operator import GUARD, Hand, here, jump, opened
from tests.chromium import Open
from tests.server import Site

pytestmark = pytest.mark.browser


def at_a_pressure(page: Page) -> tuple[str, str]:
    """Lead to the first pressure; return the names of this step and of the next."""
    expect(page.locator(".walk--steps")).to_be_visible()  # the script goes on after the page
    ids = page.locator("[data-step]").evaluate_all("found => found.map(step => step.id)")
    place = next(n for n, id in enumerate(ids) if "pressure" in id)
    jump(page, place)
    return ids[place], ids[place + 1]


def test_the_step_judges_a_number_at_once_and_holds_one_between_two_steps(
    live_site: Site, open_phone: Open
):
    live_site.command("site", "set", "--pressure", "psi")
    page = opened(live_site, open_phone, "L31")
    this, following = at_a_pressure(page)
    number, hand = here(page).locator(".number-pad__input"), Hand(page)
    note = here(page).locator(".answer").filter(has=page.locator("[value=value]"))

    number.fill("43.55")
    hand.tap(note)
    expect(here(page)).to_contain_text("Give it to 1 decimal at most.")
    expect(here(page)).to_have_id(this)
    number.fill("43.5")  # 300 kPa are 43.5113 psi by the factor of NIST SP 811
    expect(here(page).locator("[data-part=outside]")).to_be_visible()
    number.fill("43.6")
    expect(here(page).locator("[data-part=outside]")).to_be_hidden()
    hand.tap(note)

    expect(here(page)).to_have_id(following)


def test_a_number_below_zero_is_typed_with_the_keys_alone(live_site: Site, open_phone: Open):
    # pages that come through a service worker pass no route of the tests
    page = opened(live_site, open_phone, "L32", service_workers="block")
    page.route("**/new", as_if_signed)
    page.reload()
    at_a_pressure(page)
    keys, hand = here(page).locator(".number-pad__key"), Hand(page)
    page.wait_for_timeout(GUARD)

    for face in ("1", "8", "Below zero", ".", "5"):
        hand.tap(here(page).get_by_role("button", name=face, exact=True))

    expect(here(page).locator(".number-pad__input")).to_have_value("-18.5")
    sides = keys.evaluate_all("found => found.flatMap(k => [k.offsetWidth, k.offsetHeight])")
    assert (len(sides), min(sides) >= 60) == (26, True)


def as_if_signed(route: Route) -> None:
    """Let the page ask for its numbers as if they were temperatures: no shipped list has one."""
    answer = route.fetch()
    body = answer.text().replace('data-kind="decimal"', 'data-kind="signed"')
    route.fulfill(response=answer, body=body)
