"""Which shift a walk-around covers (design, section 3: Covering).

Shifts start at 06:00, 14:00 and 22:00 in Madrid; minute 0 is 06:00, minute 480 is 14:00.
"""

from dataclasses import replace

import pytest

from tests import books, make
from tests.books import clear, codes, defect_id, entry, judge, walk
from walkaround.rules import instant
from walkaround.rules.instant import DAY, HOUR
from walkaround.rules.lists import Lists, Version
from walkaround.rules.setting import SiteRules
from walkaround.rules.shift import Roster

MS = 1 / instant.MINUTE
DAY_SHIFT = SiteRules(Roster.of([(0, "Europe/Madrid", "06:00-14:00")]))


def shift(minutes: float) -> dict:
    """Return the member that says for which shift a walk is."""
    return {"for_shift": instant.text(make.at(minutes))}


def times(started: float, finished: float, **more) -> dict:
    return {
        "started_at": instant.text(make.at(started)),
        "finished_at": instant.text(make.at(finished)),
        **more,
    }


@pytest.mark.parametrize(
    ("made", "now", "covers"),
    [
        (0, 0, True),
        (480 - MS, 480 - MS, True),
        (480 - MS, 480, False),
        (10, 480 - MS, True),
        (10, 480, False),
        (-MS, 0, False),
    ],
)
def test_a_walk_covers_the_shift_it_lies_in_from_its_start_to_before_its_end(made, now, covers):
    at_work = walk(made, more=times(max(made - 8, -480 if made < 0 else 0), made))

    assert (codes([at_work], now) == []) is covers


@pytest.mark.parametrize(("made", "covers"), [(-60, True), (-60 - MS, False), (-MS, True)])
def test_outside_any_shift_a_walk_is_for_the_next_one_within_the_early_allowance(made, covers):
    early = walk(made, more=times(-60, made) if covers else times(made, made))

    assert (codes([early], 0, site=DAY_SHIFT) == []) is covers
    assert codes([early], made, site=DAY_SHIFT) == ["not_walked"]


@pytest.mark.parametrize(
    ("started", "made", "covers"),
    [(-60, -50, True), (-60 - MS, -50, False), (470, 480 - MS, True), (470, 480, False)],
)
def test_a_walk_for_a_shift_lies_between_its_early_allowance_and_its_end(started, made, covers):
    named = walk(made, more=times(started, made, **shift(0)))

    assert (codes([named], 100) == []) is covers


def test_the_shift_that_is_named_goes_before_the_one_it_lies_in():
    named = walk(470, more=shift(480))

    assert codes([named], 475) == ["not_walked"]
    assert codes([named], 480) == []


@pytest.mark.parametrize("minutes", [1, -1, 240, 481])
def test_an_instant_at_which_no_shift_starts_covers_nothing(minutes):
    assert codes([walk(more=shift(minutes))]) == ["not_walked"]


def test_a_shift_is_named_by_its_instant_however_it_is_written():
    assert codes([walk(more={"for_shift": "2026-11-25T10:30:00+05:30"})]) == []


def test_the_early_allowance_is_the_one_that_held_when_the_shift_starts():
    rules = replace(books.SITE, early_allowances=((0, HOUR), (make.at(-30), 0)))
    early = walk(-35, more=times(-40, -35, **shift(0)))

    assert codes([early]) == []
    assert codes([early], site=rules) == ["not_walked"]


@pytest.mark.parametrize("item", make.GOOD)
def test_what_is_left_out_cuts_a_walk_short(item):
    assert codes([walk(**{item: None})]) == ["cut_short"]
    assert "cut_short" in codes([walk(**{item: "could_not_check"})])


def test_failures_do_not_spoil_a_walk_once_they_are_cleared():
    found = walk(seat="defect")

    assert codes([found]) == ["defect"]
    assert codes([found, clear(defect_id(found, "seat"))]) == []


def test_an_optional_item_may_be_absent_and_no_other():
    found = walk(seat="not_fitted")

    assert codes([walk(coupler="not_fitted")]) == []
    assert codes([found]) == ["defect"]
    assert codes([found, clear(defect_id(found, "seat"))]) == []


def measured(minutes: float, **more) -> books.Entry:
    """Return a walk of an earlier time, with a pressure on it."""
    return walk(minutes, **more)


WEEK = 7 * DAY / instant.MINUTE


@pytest.mark.parametrize(
    ("before", "due"), [(WEEK, True), (WEEK - MS, False), (0, False), (WEEK + 1, True)]
)
def test_an_item_of_every_seven_days_is_due_by_when_the_walk_started(before, due):
    today = walk(10, pressure=None)  # it started at minute 2

    assert codes([measured(2 - before), today]) == (["cut_short"] if due else [])


def test_a_measurement_after_the_start_came_too_late():
    today, after = walk(10, pressure=None), measured(3, more=shift(-480))  # today's began at 2

    assert codes([after, today]) == ["cut_short"]


def test_a_measurement_that_does_not_count_leaves_an_item_due():
    today, before = walk(10, pressure=None), measured(-DAY / instant.MINUTE)
    back = entry("correction", {"entry": before.id, "what": "no", "withdraws": True}, 0)

    assert codes([before, today]) == []
    assert codes([before, back, today]) == ["cut_short"]
    assert codes([replace(before, confirmed=False), today]) == ["cut_short"]
    assert codes([measured(-DAY / instant.MINUTE, pressure="could_not_check"), today]) == [
        "cut_short"
    ]


def of_list(name: str, minutes: float = 10, **more) -> books.Entry:
    """Return a clean walk by another of the site's lists."""
    checklist = next(one for one in books.CHECKLISTS if one.name == name)
    body = make.walkaround(minutes) | {"checklist": name, "version": checklist.version}
    answers = [make.answer(item.name, "in_order") for item in checklist.items]
    return entry("walkaround", body | {"answers": answers}, minutes, **more)


def test_only_a_list_for_the_start_of_the_shift_covers():
    assert codes([of_list("loader-end")]) == ["not_walked"]
    assert codes([of_list("loader-end", confirmed=False)]) == ["not_walked"]


def test_the_generic_list_is_for_machines_that_have_none_of_their_own():
    assert codes([of_list("any-start")], machine="dozer") == []
    assert codes([of_list("any-start")]) == ["not_walked"]
    assert codes([walk()], machine="dozer") == ["not_walked"]


def test_a_machine_is_the_same_however_it_is_capitalised():
    assert codes([walk()], machine="Wheel  LOADER") == []


def test_a_version_that_the_site_has_had_covers_and_one_that_came_later_does_not():
    old = Version(books.changed(), since=0, until=make.at(5))
    new = Version(books.changed(version="3" * 64), since=make.at(12))
    lists = Lists([*books.LISTS.versions, old, new])

    assert codes([walk(more={"version": "2" * 64})], lists=lists) == []
    assert codes([walk(coupler="in_order", more={"version": "3" * 64})], lists=lists) == [
        "unconfirmed"
    ]


def lasting(hours: int) -> Lists:
    """Return lists of which the loader's own is valid for some hours."""
    others = [v for v in books.LISTS.versions if v.checklist.name != "loader-start"]
    return Lists([*others, Version(replace(books.START, valid_for=hours * HOUR), 0)])


@pytest.mark.parametrize(
    ("minutes", "covers"), [(10, True), (610 - MS, True), (610, False), (10 - MS, False)]
)
def test_a_list_that_is_valid_for_ten_hours_covers_from_its_making(minutes, covers):
    found = codes([walk()], minutes, lists=lasting(10), site=DAY_SHIFT)

    assert (found == []) is covers


@pytest.mark.parametrize(("started", "covers"), [(-590, True), (-590 - MS, False)])
def test_it_may_have_been_started_at_most_as_long_before(started, covers):
    found = walk(10, more=times(started, 10))

    assert (codes([found], lists=lasting(10)) == []) is covers


def test_an_unconfirmed_walk_and_one_cut_short_are_both_named():
    assert codes([walk(confirmed=False), walk(seat=None)]) == ["cut_short", "unconfirmed"]


def test_what_is_covered_needs_no_word_about_other_walks():
    assert codes([walk(confirmed=False), walk(seat=None), walk()]) == []


def test_of_two_covers_the_longer_says_until_when():
    both = Lists([*lasting(10).versions, Version(books.changed(), 0)])
    shift_only = walk(12, more={"version": "2" * 64})

    assert judge([shift_only], lists=both).valid_until == make.at(480)
    assert judge([shift_only, walk(10)], lists=both).valid_until == make.at(610)


def test_skew_moves_start_and_making():
    """By a phone that is an hour slow a walk began at 04:50, which was 05:50."""
    slow = walk(10, more=times(-70, -50), skew=HOUR)

    assert codes([slow]) == []
    assert codes([replace(slow, skew=0)]) == ["not_walked"]


def test_clock_changes_move_the_ends_of_shifts():
    """IANA tzdata, rule EU: on 2026-10-25 Madrid goes from UTC+2 to UTC+1 at 01:00 UTC."""
    night = instant.parse("2026-10-24T20:00:00Z")
    minutes = (night - make.DAWN) / instant.MINUTE

    found = judge([walk(minutes + 10)], minutes + 20)

    assert instant.text(found.valid_until) == "2026-10-25T05:00:00Z"
