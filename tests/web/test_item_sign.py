"""The sign of an item: beside its words, and not read aloud."""

import pytest

from tests.repairs import find
from tests.web.walking import NEW
from walkaround.web.assets import sign

TYRE = str(sign("items/tyre"))


def test_the_walk_shows_it_beside_the_words_of_the_item(operator):
    page = operator.page(NEW)

    (drawn,) = page.select("#item-tyre .item-sign svg")
    assert drawn["aria-hidden"] == "true"
    assert drawn.path["d"] in TYRE
    assert page.select_one("#look-tyre").text == "Tyre"


def test_an_item_without_a_sign_shows_none(operator):
    assert not operator.page(NEW).select("#item-seat .item-sign")


def test_the_mechanic_s_list_shows_it_at_the_lines_that_have_one(mechanic, of_operator):
    find(of_operator, tyre={}, seat={})

    page = mechanic.page("/defects")

    rows = {row.select_one(".row__title").text: row for row in page.select(".row")}
    assert rows["Tyre"].select_one(".row__number .item-sign svg")["aria-hidden"] == "true"
    assert not rows["Seat"].select(".item-sign")


@pytest.mark.parametrize("place", ["", "/clearing"])
def test_the_pages_of_a_defect_show_it(mechanic, of_operator, place):
    (defect,) = find(of_operator, tyre={})

    page = mechanic.page(f"/defects/L07/{defect}{place}")

    assert len(page.select("main .item-sign svg")) == 1
    assert "Tyre" in page.text
