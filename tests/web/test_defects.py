"""The mechanic's list and the page of one line."""

import uuid

import pytest
from bs4 import BeautifulSoup

from tests import make
from tests.repairs import clear, defer, find, text
from walkaround.actions.add_unit import add_unit

NOBODY = str(uuid.UUID(int=0))


def titles(page: BeautifulSoup) -> list[str]:
    return [node.get_text() for node in page.select(".rows > .row > div > .row__title")]


def test_without_defects_and_remarks_the_page_says_so(mechanic):
    page = text(mechanic.page("/defects"))

    assert "No defect is open." in page
    assert "No defect is deferred." in page
    assert "Nobody has written a remark" in page


def test_a_mechanic_without_defects_is_told_what_to_do(mechanic):
    page = mechanic.page("/defects")

    assert "comes here by itself" in page.text
    assert page.find("main").find("a", href="/units")


def test_a_unit_among_many_is_chosen_from_a_list(mechanic, of_operator, db):
    for place in range(9):
        add_unit(db, f"T{place}", "wheel loader", make.DAWN)
        of_operator.enter_one("defect", {"what": f"Door {place}"}, unit=f"T{place}")

    page = mechanic.page("/defects", unit="T3")

    assert page.select_one("select [selected]").text == "T3"
    assert titles(page) == ["Door 3"]
    assert not page.find("nav", attrs={"aria-label": "Units with defects"})


def test_a_line_says_what_where_who_and_when(mechanic, of_operator):
    find(of_operator, seat={"findings": ["torn"], "note": "left side"})

    page = mechanic.page("/defects")

    assert titles(page) == ["Seat"]
    assert page.select_one(".row__number").get_text() == "L07"
    assert "torn, left side" in text(page)
    assert "found by Olga Operator, today 06:10" in text(page)


def test_what_can_kill_comes_first_then_the_oldest_and_deferred_ones_last(
    mechanic, of_operator, of_mechanic
):
    seat = find(of_operator, 8, seat={})
    find(of_operator, 9, horn={})
    find(of_operator, 10, coupler={})
    find(of_operator, 11, tyre={})
    defer(of_mechanic, seat)

    page = mechanic.page("/defects")

    assert titles(page) == ["Tyre", "Horn", "Quick coupler", "Seat"]
    assert page.select_one(".rows .tag").get_text() == "can kill"
    assert "After the open ones, for these let their units run" in text(page)


def test_a_deferred_line_shows_restrictions_and_end(mechanic, of_operator, of_mechanic):
    defer(of_mechanic, find(of_operator, seat={}))

    page = text(mechanic.page("/defects"))

    assert "Level ground only." in page
    assert "Deferred until today 16:00." in page


def test_a_deferral_that_is_over_says_so(mechanic, of_operator, of_mechanic, clock):
    ids = find(of_operator, seat={})
    defer(of_mechanic, ids, until=40)

    clock.shift(11 * 60)

    assert "The deferral is over" in text(mechanic.page("/defects"))
    assert "it tags L07 out again" in text(mechanic.page(f"/defects/L07/{ids[0]}"))


def test_only_the_lines_of_one_unit_are_shown_where_that_is_asked_for(mechanic, of_operator):
    find(of_operator, seat={})
    report = {"what": "Door does not close"}
    of_operator.enter_one("defect", report, unit="D02")

    assert titles(mechanic.page("/defects", unit="D02")) == ["Door does not close"]
    assert titles(mechanic.page("/defects", unit="L07")) == ["Seat"]
    assert "No defect is open." in text(mechanic.page("/defects", unit="X99"))


def test_what_several_walks_found_until_one_clear_failed_once(mechanic, of_operator, of_mechanic):
    clear(of_mechanic, [*find(of_operator, 5, seat={}), *find(of_operator, 6, seat={})], 7)
    find(of_operator, 10, seat={})

    page = text(mechanic.page("/defects"))

    assert "Failed once before, in the last 60 days." in page


def test_the_sixty_days_end(mechanic, of_operator, of_mechanic, clock):
    clear(of_mechanic, find(of_operator, 5, seat={}), 7)
    clock.shift(61 * 24 * 3600)
    mechanic.sign_in("Milan Mechanic")
    find(of_operator, 61 * 24 * 60, seat={})

    assert "Failed once before, over 60 days ago." in text(mechanic.page("/defects"))


def test_a_remark_stands_on_the_page_and_blocks_nothing(mechanic, of_operator):
    body = make.walkaround(seat=None)
    body["answers"].append(make.answer("seat", "in_order", note="squeaks a little"))
    result = of_operator.enter_one("walkaround", body)

    page = text(mechanic.page("/defects"))

    assert "Seat Olga Operator, today 06:10 squeaks a little" in page
    assert result["verdict"]["state"] == "ok_to_run"


def test_remarks_leave_the_page_after_thirty_days(mechanic, of_operator, clock):
    body = make.walkaround(seat=None)
    body["answers"].append(make.answer("seat", "in_order", note="squeaks a little"))
    of_operator.enter_one("walkaround", body)

    clock.shift(31 * 24 * 3600)

    assert "squeaks" not in text(mechanic.sign_in("Milan Mechanic").page("/defects"))


def test_hostile_words_stay_words(mechanic, of_operator):
    ids = find(of_operator, seat={"note": "<script>alert(1)</script><b>x</b>"})

    for path in ("/defects", f"/defects/L07/{ids[0]}", f"/defects/L07/{ids[0]}/clearing"):
        page = mechanic.page(path)
        assert "<script>alert(1)</script>" in page.main.get_text()
        assert page.main.find("b") is None


def test_the_page_of_a_line_shows_all_its_defects(mechanic, of_operator):
    first = find(of_operator, 8, seat={"note": "torn"})
    find(of_operator, 9, seat={"note": "worse"})

    page = mechanic.page(f"/defects/L07/{first[0]}")

    assert page.h1.get_text() == "Seat"
    assert "torn Olga Operator, today 06:08" in text(page)
    assert "worse Olga Operator, today 06:09" in text(page)
    assert text(page).startswith("Tagged out")


def test_what_can_kill_is_never_offered_for_deferral(mechanic, of_operator):
    ids = find(of_operator, tyre={})

    page = mechanic.page(f"/defects/L07/{ids[0]}")

    assert "It can kill, so it cannot be deferred" in text(page)
    assert not [a for a in page.find_all("a") if a["href"].endswith("/deferral")]


def test_a_photo_that_was_asked_for_and_is_not_there_is_named(mechanic, of_operator):
    ids = find(of_operator, tyre={})

    assert "A photo was asked for; there is none." in text(mechanic.page("/defects"))
    assert "A photo was asked for" in text(mechanic.page(f"/defects/L07/{ids[0]}"))


def test_how_it_was_cleared_before_stands_on_the_page(mechanic, of_operator, of_mechanic):
    clear(of_mechanic, find(of_operator, 5, seat={}), 7, parts="hose 12-7", hours=84.5)
    ids = find(of_operator, 10, seat={})

    page = text(mechanic.page(f"/defects/L07/{ids[0]}"))

    assert "Repaired Milan Mechanic, today 06:07 Found today 06:05 Parts: hose 12-7" in page
    assert "Hour meter: 84.5 h" in page
    assert "new hose" in page


def test_what_was_found_again_says_so(mechanic, of_operator, of_mechanic):
    clear(of_mechanic, find(of_operator, 5, seat={}), 7)
    ids = find(of_operator, 10, seat={})

    for path in ("/defects", f"/defects/L07/{ids[0]}"):
        page = text(mechanic.page(path))
        assert "Found again: Milan Mechanic had cleared it, today 06:07." in page


def test_what_was_seen_before_a_repair_and_heard_of_after_it_says_so(
    mechanic, of_operator, of_mechanic
):
    ids = find(of_operator, 5, seat={})
    clear(of_mechanic, ids, 20)
    body = make.walkaround(12, seat="defect")
    late = make.entry("walkaround", body, minutes=12) | {"seen": {"seq": 1, "hash": "0" * 64}}
    (result,) = of_operator.enter(late)

    page = text(mechanic.page(f"/defects/L07/{result['defects'][0]}"))

    assert "Seen before the repair of today 06:20 by Milan Mechanic" in page


def test_how_often_and_since_when_it_was_deferred(mechanic, of_operator, of_mechanic):
    ids = find(of_operator, 5, seat={})
    defer(of_mechanic, ids, 7)
    defer(of_mechanic, ids, 9)

    page = text(mechanic.page(f"/defects/L07/{ids[0]}"))

    assert "Deferred so far: 2, the first time today 06:07." in page


def test_a_supervisor_reads_and_cannot_clear(supervisor, of_operator):
    ids = find(of_operator, seat={})

    page = supervisor.page(f"/defects/L07/{ids[0]}")

    assert "A mechanic clears or defers it." in text(page)
    assert supervisor.get(f"/defects/L07/{ids[0]}/clearing").status_code == 403


@pytest.mark.parametrize("path", ["", "/L07/{id}", "/L07/{id}/clearing", "/L07/{id}/deferral"])
def test_nobody_else_opens_the_pages(client, operator, of_operator, path):
    (id,) = find(of_operator, seat={})
    path = "/defects" + path.format(id=id)

    operator.page(path, 403)
    assert "/sign-in" in client.get(path).headers["Location"]


@pytest.mark.parametrize("path", ["/L07/nonsense", f"/L07/{NOBODY}", f"/X99/{NOBODY}"])
def test_what_is_unknown_is_not_found(mechanic, path):
    for more in ("", "/clearing", "/deferral", f"/deferrals/{NOBODY}/withdrawal"):
        mechanic.page(f"/defects{path}{more}", 404)
