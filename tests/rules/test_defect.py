"""What a bad answer opens, what ends it, what lets a unit run with it (design, section 3)."""

import hashlib
import uuid
from dataclasses import replace

import pytest

from tests import books, make
from tests.books import clear, codes, defect_id, defer, entry, judge, no_worse, walk
from walkaround.rules.lists import Lists, Version

SEAT = "seat"


def bad_seat(minutes: float = 5, **more) -> tuple[books.Entry, str]:
    """Return a walk-around on which a seat fails, and the defect's id."""
    found = walk(minutes, seat="defect", **more)
    return found, defect_id(found, SEAT)


def ids(entries, code: str, minutes: float = 30) -> list[str]:
    """Return the defects that a reason speaks of."""
    reasons = judge(entries, minutes).reasons
    return sorted(id for r in reasons if r.code == code for id in r.defects)


def test_a_defect_is_named_after_its_walk_and_item():
    """UUIDv5 by RFC 9562, section 5.5: SHA-1 over namespace and name, version and variant set."""
    found, id = bad_seat()
    digest = bytearray(hashlib.sha1(uuid.UUID(found.id).bytes + b"seat").digest()[:16])
    digest[6], digest[8] = digest[6] & 0x0F | 0x50, digest[8] & 0x3F | 0x80

    assert ids([found], "defect") == [id] == [str(uuid.UUID(bytes=bytes(digest)))]


def test_a_reported_defect_bears_the_id_of_its_entry():
    found = entry("defect", {"what": "smoke"})

    assert ids([found], "defect") == [found.id]


@pytest.mark.parametrize(("percent", "adds"), [(7, False), (7.01, True), (None, False)])
def test_a_blend_above_the_limit_is_a_defect(percent, adds):
    fill = entry("fill", {"fluid": "diesel", "litres": 9, "biodiesel_percent": percent})

    found = books.gathered([fill], limit=lambda instant: 7.0).defects

    assert [one.id for one in found] == ([defect_id(fill, "biodiesel")] if adds else [])


def test_a_clear_ends_what_it_names_and_nothing_else():
    (first, one), (second, other) = bad_seat(5), bad_seat(6)

    assert ids([first, second, clear(one)], "defect") == [other]
    assert codes([first, second, clear(one, other)]) == []


def test_a_clear_that_comes_first_waits_and_a_late_walk_opens_its_own_defect():
    (first, one), (late, other) = bad_seat(5), bad_seat(4)

    assert codes([clear(one), first]) == []
    assert ids([clear(one), first, late], "defect") == [other]


@pytest.mark.parametrize("order", [1, -1])
def test_any_version_that_calls_an_item_critical_makes_it_so_for_ever(order):
    found, id = bad_seat()
    strict = Version(books.changed(seat={"critical": True}), make.at(20), until=make.at(21))
    lists = Lists([*books.LISTS.versions, strict][::order])

    assert codes([found, defer(id)], lists=lists) == ["defect"]


def test_a_reported_defect_is_critical_by_the_lists_of_its_machine():
    report = entry("defect", {"what": "cut", "item": "tyre"}, 5)
    entries = [walk(), report, defer(report.id)]

    assert codes(entries) == ["defect"]
    assert codes(entries, machine="dozer") == ["not_walked", "deferred"]


def test_no_worse_is_covered_while_what_it_names_is_deferred_and_not_cleared():
    found, base = bad_seat()
    claim = no_worse(SEAT, base)
    other = defect_id(claim, SEAT)

    assert ids([found, claim], "defect") == sorted([base, other])
    assert ids([found, claim, defer(base)], "deferred") == sorted([base, other])
    assert codes([found, claim, defer(base, until=25)]) == ["deferral_over"]
    assert ids([found, claim, defer(base), clear(base)], "defect") == [other]


def test_no_worse_needs_the_same_item_and_a_defect_that_is_deferred_itself():
    found, base = bad_seat()
    horn = walk(6, horn="defect")
    chain = [found, defer(base, until=25), no_worse(SEAT, base, minutes=18)]
    link = no_worse(SEAT, defect_id(chain[-1], SEAT), minutes=19)

    assert "defect" in codes(
        [found, horn, defer(defect_id(horn, "horn")), no_worse(SEAT, defect_id(horn, "horn"))]
    )
    assert ids([*chain, defer(base, minutes=16), link], "defect") == [defect_id(link, SEAT)]


def test_no_worse_without_anything_it_names_is_a_defect():
    claim = no_worse(SEAT)

    assert ids([claim], "defect") == [defect_id(claim, SEAT)]


def test_a_critical_defect_is_not_covered_as_no_worse_than_one_that_is_not():
    """The same item may be critical by one list of the machine and not by another."""
    found = entry("defect", {"what": "worn", "item": SEAT}, 5)
    own = books.changed("loader-start", seat={"critical": True})
    lists = Lists([*books.LISTS.versions, Version(replace(own, name="loader-two", machine="x"), 0)])
    claim = no_worse(SEAT, found.id)
    body = replace(claim.body, checklist="loader-two", version="2" * 64)

    assert codes([found, defer(found.id), claim], lists=lists) == ["deferred"]
    assert "defect" in codes([found, defer(found.id), replace(claim, body=body)], lists=lists)


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [(290, 290, "deferred"), (290, 295, "deferred"), (290, 289, "defect"), (390, 290, "defect")],
)
def test_a_value_that_names_a_deferred_one_is_no_worse_if_it_is_not_farther_out(
    before, after, code
):
    found = walk(5, pressure=before)
    base = defect_id(found, "pressure")

    assert code in codes([found, defer(base), no_worse("pressure", base, given=after)])


def test_the_newer_list_says_on_which_side_both_lie():
    found = walk(5, pressure=290)
    base = defect_id(found, "pressure")
    measure = replace(books.START.item("pressure").measure, low=350)
    lists = Lists([*books.LISTS.versions, Version(books.changed(pressure={"measure": measure}), 0)])
    claim = no_worse("pressure", base, given=340)
    claim = replace(claim, body=replace(claim.body, version="2" * 64))

    assert codes([found, defer(base), claim], lists=lists) == ["deferred"]


def test_a_line_shows_each_state_with_the_ids_that_are_in_it():
    (first, one), (second, other) = bad_seat(5), bad_seat(6)

    found = judge([first, second, defer(one)]).reasons

    assert [(r.code, r.item, r.defects) for r in found] == [
        ("defect", SEAT, (other,)),
        ("deferred", SEAT, (one,)),
    ]


ON = replace(books.SITE, second_look_since=make.at(12))


def looked(repair: books.Entry, minutes: float = 20, **more) -> books.Entry:
    return walk(minutes, more={"looked_again": [repair.id]}, **more)


@pytest.mark.parametrize(
    ("look", "due"),
    [
        (lambda repair: [], True),
        (lambda repair: [looked(repair)], False),
        (lambda repair: [looked(repair, by=books.MILAN)], True),
        (lambda repair: [looked(repair, 15)], True),
        (lambda repair: [looked(repair, 14)], True),
        (lambda repair: [looked(repair, confirmed=False)], True),
    ],
    ids=[
        "none",
        "later by another",
        "by the clearer",
        "at the same instant",
        "before",
        "unconfirmed",
    ],
)
def test_a_critical_repair_asks_for_a_second_look(look, due):
    found = walk(5, tyre="defect")
    repair = clear(defect_id(found, "tyre"))

    assert codes([found, repair, *look(repair)], site=ON) == (["second_look"] if due else [])
    assert codes([found, repair, *look(repair)]) == []


def test_no_second_look_is_asked_for_after_other_repairs_or_earlier_ones():
    found, id = bad_seat()
    tyre = walk(4, tyre="defect")
    early = clear(defect_id(tyre, "tyre"), minutes=11)

    assert codes([found, clear(id)], site=ON) == []
    assert codes([tyre, early, walk()], site=ON) == []


def test_of_two_clears_one_that_was_looked_at_is_enough():
    found = walk(5, tyre="defect")
    one, two = (clear(defect_id(found, "tyre"), minutes=minutes) for minutes in (15, 16))

    assert codes([found, one, two, looked(two)], site=ON) == []
    assert codes([found, one, looked(two)], site=ON) == ["second_look"]


def test_a_second_clear_after_the_site_asked_for_looks_asks_for_none():
    """Or leaving out that ending would loosen: what the first one ended was never asked for."""
    found = walk(5, tyre="defect")
    early, late = (clear(defect_id(found, "tyre"), minutes=minutes) for minutes in (11, 15))

    assert codes([found, early, late, walk()], site=ON) == []
    assert codes([found, late, walk()], site=ON) == ["second_look"]


def test_a_value_is_not_measured_against_one_that_was_given_twice():
    twice = make.walkaround(5, pressure=250)
    twice["answers"].append(make.answer("pressure", 290))
    found = entry("walkaround", twice, 5)
    base = defect_id(found, "pressure")

    assert "defect" in codes([found, defer(base), no_worse("pressure", base, given=290)])
    assert codes([found, defer(base)]) == ["deferred"]
