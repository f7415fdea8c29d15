"""The page that scans labels, as everybody gets it."""

import pytest

from tests import make
from walkaround.web import assets
from walkaround.web.scan import DECODER


@pytest.fixture
def files(tmp_path, monkeypatch):
    """A folder of static files in which the decoder may be or not."""
    monkeypatch.setattr("walkaround.web.scan.assets.ROOT", tmp_path)
    return tmp_path


def decoder(client):
    return client.page("/scan").find(attrs={"data-module": "scan-label"})["data-decoder"]


def test_a_stranger_may_open_it_and_type_a_number(client):
    page = client.page("/scan")

    assert page.h1.get_text() == "Scan a label"
    assert (page.form["action"], page.form["method"]) == ("/units", "get")
    assert page.find(id="number")["name"] == "number"


def test_nothing_of_the_site_or_of_a_person_stands_in_it(client, supervisor):
    of_stranger, of_supervisor = client.page("/scan"), supervisor.page("/scan")

    assert of_supervisor.main == of_stranger.main
    assert of_supervisor.find(attrs={"name": "csrf_token"}) is None
    for words in (make.SITE, "Sara Supervisor"):
        assert words not in of_supervisor.get_text(" "), words


def test_what_waits_to_be_said_is_not_used_up_by_it(supervisor):
    with supervisor.session_transaction() as session:
        session["_flashes"] = [("message", "The old label of L07 is over.")]

    supervisor.page("/scan")

    assert "The old label of L07 is over." in supervisor.page("/more").get_text()


def test_without_scripts_it_says_what_to_do(client):
    assert "type the number" in client.page("/scan").noscript.get_text()


def test_it_names_the_decoder_where_set_up_brought_it(client, files):
    (files / DECODER).parent.mkdir(parents=True)
    (files / DECODER).touch()

    assert decoder(client) == assets.asset(DECODER)


def test_it_names_no_decoder_where_set_up_brought_none(client, files):
    assert decoder(client) == ""


@pytest.mark.parametrize("path", ["/units", "/more"])
def test_the_way_to_it_stands_where_units_are_sought(operator, path):
    assert operator.page(path).find("a", href="/scan").get_text() == "Scan a label"
