"""Every fact that follows from a unit's entries."""

from dataclasses import replace

import pytest

from tests import books, make
from tests.books import clear, defect_id, doubt, entry, no_worse, settle, walk, withdraw
from walkaround.rules import facts
from walkaround.rules.lists import Lists, Version


def test_what_is_measured_is_kept_and_counts_unless_taken_back():
    one, other, unsigned = walk(5), walk(6, pressure=250), walk(7, confirmed=False)

    found = books.gathered([one, other, unsigned, withdraw(other)]).measured

    assert [(m.item, m.value, m.counts) for m in found] == [
        ("pressure", 340, True),
        ("pressure", 250, False),
        ("pressure", 340, False),
    ]


@pytest.mark.parametrize(
    ("unit", "kept"),
    [("kPa", (340, "kPa")), ("bar", (34000, "kPa")), ("°F", (1540 / 9, "°C")), ("%", (340, "%"))],
)
def test_what_is_measured_is_kept_in_si(unit: str, kept: tuple[float, str]):
    measure = replace(books.START.item("pressure").measure, unit=unit, high=None)
    made = books.changed(version=make.VERSION, pressure={"measure": measure})

    (found,) = books.gathered([walk(5)], Lists([Version(made, 0)])).measured

    assert (found.value, found.measured_in) == kept


def test_of_a_list_that_nobody_knows_the_number_stays_as_it_was_sent():
    (found,) = books.gathered([walk(5, more={"version": "0" * 64})]).measured

    assert (found.value, found.measured_in) == (340, None)


def test_words_on_an_answer_in_order_are_remarks_and_block_nothing():
    body = make.walkaround()
    body["answers"][1]["note"] = "worn, order one"
    noted = entry("walkaround", body)

    (remark,) = books.gathered([noted]).remarks

    assert (remark.item, remark.note, remark.by) == ("seat", "worn, order one", "101")
    assert books.codes([noted]) == []


def test_a_hold_names_what_ended_it_and_a_doubt_what_settled_it():
    hold, unread = entry("hold", {"reason": "audit"}), walk()
    end, word = entry("release", {"hold": hold.id, "note": "n"}, 20), settle(unread)

    found = books.gathered([hold, end, doubt(unread), word])

    assert [one.ended_by for one in found.holds] == [end.id]
    assert [one.settled_by for one in found.doubts] == [word.id]


def test_a_defect_names_every_clear_that_counts_oldest_first():
    bad = walk(5, seat="defect")
    id = defect_id(bad, "seat")
    clears = [clear(id, minutes=minutes) for minutes in (16, 15)]

    (found,) = books.gathered([bad, *clears, clear(id, confirmed=False)]).defects

    assert found.ended == (clears[1].id, clears[0].id)
    assert found.cleared_at == make.at(15)


BASE = make.entry("x", {})["id"]


@pytest.mark.parametrize(
    "made",
    [
        clear(BASE),
        books.defer(BASE),
        entry("release", {"hold": BASE, "note": "n"}),
        entry("return", {"lay_up": BASE, "note": "n"}),
        entry("confirm", {"entry": BASE}),
        entry("correction", {"entry": BASE, "what": "w"}),
        settle(entry("hours", {"value": 1}, id=BASE)),
        doubt(entry("hours", {"value": 1}, id=BASE)),
        no_worse("seat", BASE),
        walk(more={"looked_again": [BASE]}),
    ],
    ids=lambda made: made.kind,
)
def test_an_entry_names_all_that_it_may_bear_on(made):
    assert facts.names(made) == {BASE}


def test_an_entry_that_stands_for_itself_names_nothing():
    assert facts.names(walk()) == facts.names(entry("hold", {"reason": "r"})) == set()
