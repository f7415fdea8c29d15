from collections.abc import Callable

import pytest

from tests.client import Client


def test_a_phone_that_is_not_enrolled_is_told_what_to_do(client: Client):
    page = client.page("/sign-in")

    assert "not enrolled" in page.h1.text


def test_an_enrolled_phone_signs_in_with_crew_number_and_pin(enrolled: Callable[[], Client]):
    phone = enrolled()

    answer = phone.submit("/sign-in", crew_number="101", pin="4821")

    assert answer.status_code == 303
    assert phone.api("GET", "/me").json["crew_number"] == "101"


def test_a_wrong_pin_is_refused_in_words(enrolled: Callable[[], Client]):
    page = enrolled().refused("/sign-in", crew_number="101", pin="9999")

    assert "do not fit together" in page.text


def test_a_right_pin_on_a_foreign_phone_counts_for_nothing(app):
    stranger = Client(app)

    answer = stranger.post("/sign-in", data={"crew_number": "101", "pin": "4821"})

    assert answer.status_code == 400  # it has not even a token
    assert stranger.get("/api/v1/me").status_code == 401


@pytest.mark.parametrize(
    "address",
    ["//evil.example", "https://evil.example/", "/\\evil.example", "/q\n/x", "javascript:1"],
)
def test_signing_in_leads_to_no_other_site(enrolled: Callable[[], Client], address: str):
    phone = enrolled()

    answer = phone.post(
        "/sign-in",
        query_string={"next": address},
        data={"crew_number": "101", "pin": "4821", "csrf_token": phone.token()},
    )

    assert answer.headers["Location"] == "/"
