"""What a phone tells of itself, and what a supervisor reads of it."""

import pytest
from bs4 import BeautifulSoup

from tests import make
from tests.client import Client
from walkaround.rules.instant import DAY, HOUR, SECOND
from walkaround.web import release

ADDRESS = "/phones/this"


def tell(phone: Client, **said: object):
    """Say it as the page's script does, whoever is signed in."""
    headers = {"X-CSRF-Token": phone.get(ADDRESS).json["csrf"]}
    return phone.post(ADDRESS, json=said, headers=headers)


def words(page: BeautifulSoup) -> str:
    return " ".join(page.get_text(" ").split())


def later(clock, milliseconds: int, supervisor: Client) -> Client:
    clock.shift(milliseconds / SECOND)
    return supervisor.sign_in("Sara Supervisor")


def test_a_phone_is_heard_while_nobody_is_signed_in(enrolled, supervisor: Client, clock):
    phone = enrolled()
    assert tell(phone, waiting=2).json == {"highest": 0}

    later(clock, 13 * HOUR, supervisor)

    assert "2 entries waited on it" in words(supervisor.page("/phones"))
    assert "1 phone has not sent all" in words(supervisor.page("/board"))


def test_only_an_enrolled_phone_is_heard(client: Client, of_operator):
    """Neither a stranger's browser nor a program with a token is a phone."""
    headers = {"Authorization": f"Bearer {of_operator.token}"}

    assert client.get(ADDRESS).headers["Location"] == "/sign-in?next=/phones/this"
    assert of_operator.get(ADDRESS, headers=headers).status_code == 404


@pytest.mark.parametrize("waiting", [None, -1, 1.5, "2", True, 2**53, []])
def test_what_is_no_count_is_refused(operator: Client, waiting: object):
    assert tell(operator, waiting=waiting).status_code == 422


@pytest.mark.parametrize("release_", ["", "new", 7, "0" * 17, []])
def test_what_is_no_release_is_refused(operator: Client, release_: object):
    assert tell(operator, waiting=0, release=release_).status_code == 422


def test_a_phone_that_keeps_an_older_release_is_named(operator: Client, supervisor: Client):
    tell(operator, waiting=0, release="0" * 16)
    assert "kept an older version" in words(supervisor.page("/phones"))

    tell(operator, waiting=0, release=release.digest())

    assert "kept an older version" not in words(supervisor.page("/phones"))


@pytest.mark.parametrize("text", ["", "waiting", "[" * 100_000, "\x00", '{"waiting": 0'])
def test_what_is_no_json_is_refused(operator: Client, text: str):
    headers = {"X-CSRF-Token": operator.token()}

    assert operator.post(ADDRESS, data=text, headers=headers).status_code == 422


def test_a_number_that_does_not_come_in_is_asked_for_until_somebody_has(
    operator: Client, supervisor: Client, clock
):
    device = operator.get("/api/v1/kept").json["device"]
    numbers = {1: "L07", 2: "L07", 4: "X99"}  # no unit X99: refused, and counted all the same
    for n, unit in numbers.items():
        sent = {**make.entry("hours", {"value": 90 + n}, unit=unit), "device": device, "n": n}
        operator.api("POST", "/entries", json={"sent_at": sent["made_at"], "entries": [sent]})
    assert "has not come in" not in words(supervisor.page("/phones"))

    later(clock, DAY, supervisor)

    assert "Its entry number 3 has not come in" in words(supervisor.page("/phones"))
    assert supervisor.submit(f"/phones/{device}/asking").status_code == 303
    assert "has not come in" not in words(supervisor.page("/phones"))
    assert "has not sent all" not in words(supervisor.page("/board"))


def test_the_board_is_new_when_a_phone_falls_silent(enrolled, supervisor: Client, clock):
    tell(enrolled(), waiting=1)
    clock.shift(12 * HOUR / SECOND - 1)
    supervisor.sign_in("Sara Supervisor")
    tag = {"If-None-Match": supervisor.get("/board").headers["ETag"]}
    assert supervisor.get("/board", headers=tag).status_code == 304

    clock.shift(1)

    assert supervisor.get("/board", headers=tag).status_code == 200


def test_a_phone_that_lost_what_it_kept_is_named(operator: Client, supervisor: Client):
    assert tell(operator, waiting=0, emptied=True).json == {"highest": 1}

    assert "lost what it had kept (today 06:30)" in words(supervisor.page("/phones"))
    assert "1" in supervisor.page("/more").find("a", href="/phones").find_parent("li").text
