"""The programs that other tests drive do what those tests take for granted."""

import psycopg
import pytest
from playwright.sync_api import Browser
from sqlalchemy import create_engine, inspect, text

from tests.chromium import PHONE, Open, opened_on
from tests.postgres import Cluster


@pytest.mark.postgres
def test_a_test_gets_an_empty_database_of_its_own(postgres_url: str, postgres: Cluster) -> None:
    other = create_engine(postgres.url(postgres.new_database()))
    with other.begin() as connection:
        connection.execute(text("create table elsewhere (id int)"))

    mine = create_engine(postgres_url)
    tables = inspect(mine).get_table_names()

    assert mine.dialect.name == "postgresql"
    assert tables == []
    for engine in (mine, other):
        engine.dispose()


@pytest.mark.postgres
def test_the_private_database_server_listens_on_no_network(postgres: Cluster) -> None:
    address = f"host={postgres.folder} port=5432 user=walkaround dbname=postgres"
    with psycopg.connect(address) as connection:
        row = connection.execute("show listen_addresses").fetchone()

    assert row == ("",)


@pytest.mark.browser
def test_a_phone_is_as_narrow_as_a_phone(open_phone: Open) -> None:
    page = open_phone(dark=True).new_page()
    page.set_content('<meta name="viewport" content="width=device-width"><p>x</p>')

    width = page.evaluate("innerWidth")
    dark = page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches")
    still = page.evaluate("matchMedia('(prefers-reduced-motion: reduce)').matches")
    touch = page.evaluate("navigator.maxTouchPoints")

    assert (width, dark, still) == (390, True, True)
    assert touch > 0


@pytest.mark.browser
def test_scripts_can_be_switched_off(open_desk: Open) -> None:
    page = open_desk(scripts=False).new_page()

    page.set_content("<p>as sent</p><script>document.body.textContent = 'changed'</script>")

    assert page.inner_text("body") == "as sent"
    assert page.viewport_size == {"width": 1440, "height": 900}


@pytest.mark.browser
def test_a_script_that_fails_on_a_page_fails_its_test(browser: Browser) -> None:
    opener = opened_on(browser, PHONE)
    page = next(opener)().new_page()

    page.set_content("<p>x</p><script>throw new Error('boom')</script>")

    with pytest.raises(AssertionError, match="boom"):
        next(opener)
