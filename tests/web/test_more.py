from tests import make
from tests.client import Client


def test_a_supervisor_finds_the_office(supervisor: Client):
    page = supervisor.page("/more")

    for place in ("/doubts", "/refused", "/people", "/phones", "/labels", "/fleet/new"):
        assert page.find("a", href=place)
        supervisor.page(place)


def test_an_operator_finds_the_way_out_and_no_office(operator: Client):
    page = operator.page("/more")

    assert "Signed in: Olga Operator" in page.text
    assert not page.find("a", href="/people")
    assert operator.submit("/sign-out").status_code == 303
    assert operator.get("/more").status_code == 303


def test_the_places_are_those_of_ones_work(operator: Client, mechanic: Client, supervisor: Client):
    places = [
        [link.text for link in one.page("/more").find(class_="menu").find_all("a")]
        for one in (operator, mechanic, supervisor)
    ]

    assert places == [
        ["Units", "More"],
        ["Defects", "Units", "More"],
        ["Board", "Defects", "Units", "More"],
    ]


def test_what_waits_is_counted(supervisor: Client):
    sent = make.entry("walkaround", {"answers": "none"})
    supervisor.api(
        "POST", "/entries", json={"sent_at": "2026-11-25T05:30:00Z", "entries": [sent, sent]}
    )

    page = supervisor.page("/more")

    sides = {
        row.a["href"]: row.find(class_="row__side").text for row in page.find_all(class_="row")
    }
    assert (sides["/doubts"], sides["/refused"]) == ("1", "1")


def test_nobody_signed_in_is_asked_to_sign_in(client: Client):
    assert client.get("/more").status_code == 303
