"""Defects of one item as the one line that pages and programs show."""

from tests import books, make
from tests.books import clear, defect_id, defer, entry, walk
from walkaround.rules.line import Line, lines


def shown(*entries: books.Entry, minutes: float = 30) -> list[Line]:
    facts = books.facts_of(entries)
    return lines(facts.defects, make.at(minutes), facts.meter)


FIRST, SECOND = walk(5, seat="defect"), walk(8, seat="defect")
ONE, OTHER = defect_id(FIRST, "seat"), defect_id(SECOND, "seat")


def test_what_fails_again_stands_on_the_same_line_oldest_first():
    (line,) = shown(SECOND, FIRST)

    assert (line.item, line.state, line.ids) == ("seat", "open", (ONE, OTHER))
    assert line.since == make.at(5)


def test_a_line_shows_the_strictest_state_in_it():
    assert [line.state for line in shown(FIRST, SECOND, defer(ONE))] == ["open"]
    assert [line.state for line in shown(FIRST, SECOND, defer(ONE, OTHER))] == ["deferred"]


def test_a_deferral_that_has_run_out_leaves_its_line_open_and_says_so():
    (line,) = shown(FIRST, defer(ONE, until=20))

    assert (line.state, line.over) == ("open", True)


def test_what_is_cleared_is_on_no_line():
    assert [line.ids for line in shown(FIRST, SECOND, clear(ONE))] == [(OTHER,)]
    assert shown(FIRST, clear(ONE)) == []


def test_reports_without_an_item_stand_each_on_its_own_line():
    reports = [entry("defect", {"what": "smoke"}, minutes) for minutes in (1, 2)]

    assert [line.ids for line in shown(*reports)] == [(report.id,) for report in reports]


def test_the_worst_come_first_then_the_critical_then_the_oldest():
    old, tyre = walk(3, horn="defect"), walk(9, tyre="defect")
    entries = [FIRST, old, tyre, defer(ONE), entry("defect", {"what": "b", "critical": True}, 6)]

    found = [(line.item, line.critical, line.state) for line in shown(*entries)]

    assert found == [
        (None, True, "open"),
        ("tyre", True, "open"),
        ("horn", False, "open"),
        ("seat", False, "deferred"),
    ]


def test_the_latest_deferral_is_the_one_that_a_line_shows():
    (line,) = shown(FIRST, SECOND, defer(ONE, until=100), defer(OTHER, until=200, minutes=16))

    assert line.deferral is not None
    assert line.deferral.until == make.at(200)
