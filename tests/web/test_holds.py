from typing import Any

import pytest

from tests.client import Client

PAGES = ["/units/L07/holds/new", "/units/L07/lay-ups/new"]


def test_a_hold_tags_the_unit_out_until_it_is_released(supervisor: Client):
    answer = supervisor.submit("/units/L07/holds/new", **form(supervisor, PAGES[0], "blasting"))
    assert (answer.status_code, answer.headers["Location"]) == (303, "/units/L07")
    (reason, _) = verdict(supervisor)["reasons"]
    assert (reason["code"], reason["text"]) == ("hold", "Hold: blasting")
    path = f"/units/L07/holds/{reason['hold']}/release"

    supervisor.submit(path, **form(supervisor, path, "blasting is over"))

    assert verdict(supervisor)["state"] == "not_checked"
    assert [one["kind"] for one in logbook(supervisor)] == ["hold", "release"]


def test_a_lay_up_ends_with_a_return(supervisor: Client):
    supervisor.submit("/units/L07/lay-ups/new", **form(supervisor, PAGES[1], "no work"))
    assert verdict(supervisor)["state"] == "laid_up"
    path = f"/units/L07/lay-ups/{verdict(supervisor)['reasons'][0]['lay_up']}/return"

    supervisor.submit(path, **form(supervisor, path, "work again"))

    assert verdict(supervisor)["state"] == "not_checked"


@pytest.mark.parametrize("path", PAGES)
def test_a_form_posted_twice_enters_once(supervisor: Client, path: str):
    once = form(supervisor, path, "blasting")

    answers = [supervisor.submit(path, **once) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [303, 303]
    assert len(logbook(supervisor)) == 1


def test_a_released_hold_is_not_released_again(supervisor: Client):
    supervisor.submit(PAGES[0], **form(supervisor, PAGES[0], "blasting"))
    path = f"/units/L07/holds/{verdict(supervisor)['reasons'][0]['hold']}/release"
    late = form(supervisor, path, "late")
    supervisor.submit(path, **form(supervisor, path, "over"))

    page = supervisor.refused(path, status=409, **late)

    assert "released already" in page.text
    assert len(logbook(supervisor)) == 2


def test_the_page_of_a_release_says_what_is_held_and_by_whom(supervisor: Client):
    supervisor.submit(PAGES[0], **form(supervisor, PAGES[0], "<b>blasting</b> in field 3"))

    page = supervisor.page(f"/units/L07/holds/{verdict(supervisor)['reasons'][0]['hold']}/release")

    assert "<b>blasting</b> in field 3" in page.text
    assert "By Sara Supervisor, today 06:30" in page.text


def test_the_units_page_leads_a_supervisor_on_and_nobody_else(supervisor: Client, operator: Client):
    supervisor.submit(PAGES[0], **form(supervisor, PAGES[0], "blasting"))
    release = f"/units/L07/holds/{verdict(supervisor)['reasons'][0]['hold']}/release"

    links = [link["href"] for link in supervisor.page("/units/L07").find_all("a")]
    others = [link["href"] for link in operator.page("/units/L07").find_all("a")]

    for path in (*PAGES, release, "/units/L07/meter/change", "/units/L07/change"):
        assert path in links
        assert path not in others
        supervisor.page(path)


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("words", ["", "  \n ", "x" * 2001])
def test_a_reason_is_asked_for_and_what_was_typed_is_kept(
    supervisor: Client, path: str, words: str
):
    page = supervisor.refused(path, **form(supervisor, path, words))

    assert page.find(id="words-error")
    assert page.find(id="words").text.strip() == words.strip()
    assert not logbook(supervisor)


def test_an_entry_that_is_no_id_is_refused(supervisor: Client):
    page = supervisor.refused(PAGES[0], words="x", entry="not-an-id")

    assert "cannot be used any more" in page.text


def test_the_pin_is_asked_for_when_the_last_proof_is_old(supervisor: Client, clock: Any):
    clock.shift(6 * 60)
    typed = form(supervisor, PAGES[0], "blasting")

    page = supervisor.refused(PAGES[0], **typed)
    answer = supervisor.submit(PAGES[0], **typed, pin="9152")

    assert page.find(id="pin-error")
    assert answer.status_code == 303


@pytest.mark.parametrize(
    "path", [*PAGES, "/units/L07/holds/1/release", "/units/L07/lay-ups/1/return"]
)
def test_only_a_supervisor_takes_out_and_gives_back(
    client: Client, operator: Client, mechanic: Client, path: str
):
    assert client.get(path).status_code == 303
    operator.page(path, status=403)
    assert mechanic.submit(path, words="x").status_code == 403


def test_there_is_nothing_to_do_with_what_is_not_there(supervisor: Client):
    for path in ("X99/holds/new", "X99/lay-ups/new", "L07/holds/1/release", "L07/lay-ups/1/return"):
        supervisor.page(f"/units/{path}", status=404)


def form(client: Client, path: str, words: str) -> dict[str, str]:
    """Return what a page's form sends when these words are typed."""
    return {"entry": client.page(path).find(id="entry")["value"], "words": words}


def verdict(client: Client) -> dict[str, Any]:
    return client.api("GET", "/units/L07").json["verdict"]


def logbook(client: Client) -> list[dict[str, Any]]:
    return client.api("GET", "/units/L07/logbook").json["entries"]
