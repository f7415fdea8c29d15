"""Which entries count, and which only on their strict side (design, section 3)."""

import uuid
from dataclasses import replace

import pytest

from tests import books
from tests.books import (
    MILAN,
    SARA,
    clear,
    codes,
    confirm,
    defect_id,
    doubt,
    entry,
    judge,
    settle,
    walk,
    withdraw,
)
from walkaround.rules.entry import CLOCK, LEFT, LIST, Book


def test_a_confirm_of_the_same_person_makes_a_walk_count():
    unsigned = walk(confirmed=False)

    assert codes([unsigned]) == ["unconfirmed"]
    assert codes([unsigned, confirm(unsigned)]) == []
    assert codes([confirm(unsigned), unsigned]) == []


@pytest.mark.parametrize(
    "more",
    [{"by": MILAN}, {"confirmed": False}, {"confirmed": False, "trouble": frozenset({CLOCK})}],
    ids=["of another person", "unconfirmed itself", "with a broken clock"],
)
def test_another_confirm_does_nothing(more):
    unsigned = walk(confirmed=False)

    assert codes([unsigned, confirm(unsigned, **more)]) == ["unconfirmed"]


def test_a_confirm_may_be_confirmed():
    unsigned = walk(confirmed=False)
    again = confirm(unsigned, confirmed=False)

    assert codes([unsigned, again, confirm(again)]) == []
    assert codes([unsigned, again, confirm(again, by=SARA)]) == ["unconfirmed"]


def test_a_confirm_of_itself_or_in_a_ring_does_nothing():
    unsigned = walk(confirmed=False)
    ids = [str(uuid.uuid4()) for _ in range(2)]
    ring = [
        entry("confirm", {"entry": other}, 20, id=own, confirmed=False)
        for own, other in zip(ids, reversed(ids), strict=True)
    ]
    itself = entry("confirm", {"entry": ids[0]}, 20, id=ids[0], confirmed=False)

    assert codes([unsigned, *ring]) == codes([unsigned, itself]) == ["unconfirmed"]


@pytest.mark.parametrize("trouble", [CLOCK, LEFT, LIST])
def test_no_confirm_mends_a_walk_with_a_broken_clock_or_list(trouble):
    unsigned = walk(confirmed=False, trouble=frozenset({trouble}))

    assert codes([unsigned, confirm(unsigned)]) == ["unconfirmed"]


@pytest.mark.parametrize(("trouble", "ends"), [(CLOCK, True), (LEFT, False)])
def test_a_confirm_mends_a_repair_with_a_broken_clock(trouble, ends):
    bad = walk(seat="defect")
    repair = clear(defect_id(bad, "seat"), confirmed=False, trouble=frozenset({trouble}))

    found = codes([bad, repair, confirm(repair, by=MILAN)])

    assert found == ([] if ends else ["defect"])


@pytest.mark.parametrize(
    ("more", "counts"),
    [({}, True), ({"by": SARA}, True), ({"by": MILAN}, False), ({"confirmed": False}, False)],
)
def test_author_or_supervisor_takes_back_what_a_walk_covers(more, counts):
    good = walk()

    assert codes([good, withdraw(good, **more)]) == (["not_walked"] if counts else [])


def test_what_is_withdrawn_still_tags_out():
    bad = walk(seat="defect")

    assert codes([bad, withdraw(bad)]) == ["defect", "not_walked"]


def test_a_correction_of_words_alone_takes_nothing_back():
    good = walk()
    words = entry("correction", {"entry": good.id, "what": "the seat is grey"}, 20)

    assert codes([good, words]) == []


def test_a_correction_never_opens_again_what_a_clear_ended():
    bad = walk(seat="defect")
    repair = clear(defect_id(bad, "seat"))

    assert codes([bad, repair, withdraw(repair, by=SARA)]) == []


def test_of_contested_walks_the_failures_of_all_contents_stand():
    good = walk()
    other = walk(id=good.id, horn="defect", confirmed=False)

    assert codes([good, doubt(good, other)]) == ["defect", "unconfirmed", "doubt"]
    assert codes([other, doubt(other, good)]) == ["defect", "unconfirmed", "doubt"]


def test_a_contested_report_of_two_items_stands_by_itself_whichever_content_came_first():
    seat, tyre = (entry("defect", {"item": item, "what": "torn"}) for item in ("seat", "tyre"))
    tyre = replace(tyre, id=seat.id)
    orders = ([seat, doubt(seat, tyre)], [tyre, doubt(tyre, seat)])

    for order in orders:
        beside = walk(seat="defect")
        found = [r.defects for r in judge([beside, *order]).reasons if r.code == "defect"]
        assert sorted(found) == sorted([(seat.id,), (defect_id(beside, "seat"),)])


def test_settling_ends_the_doubt_and_brings_no_cover_back():
    good = walk()
    crossed = [good, doubt(good, walk(id=good.id, minutes=11))]

    assert codes([*crossed, settle(good)]) == ["unconfirmed"]
    assert codes([*crossed, settle(good), walk(12)]) == []


def test_one_settle_ends_every_doubt_about_its_entry_early_or_late():
    unread = walk()
    doubts = [doubt(unread, minutes=minutes) for minutes in (5, 20, 28)]

    assert codes([walk(), *doubts]) == ["doubt"]
    assert codes([settle(unread), walk(), *doubts]) == []


@pytest.mark.parametrize("more", [{"confirmed": False}])
def test_an_unconfirmed_settle_settles_nothing(more):
    unread = walk()

    assert codes([walk(), doubt(unread), settle(unread, **more)]) == ["doubt"]


def test_a_contested_repair_ends_nothing():
    bad = walk(seat="defect")
    repair = clear(defect_id(bad, "seat"))
    other = clear(defect_id(bad, "seat"), id=repair.id, minutes=16)

    assert codes([bad, repair, doubt(repair, other)]) == ["defect", "doubt"]
    assert codes([bad, repair, doubt(repair, other), settle(repair)]) == ["defect"]


@pytest.mark.parametrize("kind", ["hold", "lay_up"])
def test_a_contested_hold_or_lay_up_stands_whichever_content_came_first(kind):
    kept = entry(kind, {"reason": "audit"})
    other = walk(id=kept.id)
    code = {"hold": "hold", "lay_up": "laid_up"}[kind]

    assert code in codes([kept, doubt(kept, other)])
    assert code in codes([other, doubt(other, kept)])


@pytest.mark.parametrize(
    ("kind", "confirmed", "stands"), [("hold", False, True), ("lay_up", False, False)]
)
def test_an_unconfirmed_hold_stands_and_an_unconfirmed_lay_up_does_not(kind, confirmed, stands):
    found = codes([walk(), entry(kind, {"reason": "audit"}, confirmed=confirmed)])

    assert bool(found) is stands


@pytest.mark.parametrize(
    ("kind", "back", "name"), [("hold", "release", "hold"), ("lay_up", "return", "lay_up")]
)
def test_an_ending_waits_for_what_it_names_and_ends_nothing_else(kind, back, name):
    first, second = (entry(kind, {"reason": "audit"}) for _ in range(2))
    end = entry(back, {name: first.id, "note": "over"})

    reasons = judge([end, walk(), first, second]).reasons

    assert [reason.hold or reason.lay_up for reason in reasons] == [second.id]


def test_the_book_keeps_no_order_of_arrival():
    entries = [walk(3), walk(1), walk(2)]

    assert Book(entries).entries == Book(reversed(entries)).entries


def test_a_contested_no_worse_is_a_plain_defect():
    bad = walk(5, seat="defect")
    base = defect_id(bad, "seat")
    claim = books.no_worse("seat", base, minutes=9)
    entries = [bad, books.defer(base, minutes=6), claim]

    assert codes(entries) == ["deferred"]
    assert "defect" in codes([*entries, doubt(claim, walk(9, id=claim.id))])
