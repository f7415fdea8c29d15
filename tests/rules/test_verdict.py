"""May this unit run, now, and why (design, section 3: the first table)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import books, make
from tests.books import (
    clear,
    codes,
    confirm,
    defect_id,
    defer,
    doubt,
    entry,
    judge,
    no_worse,
    settle,
    walk,
    withdraw,
)
from walkaround.rules.verdict import STATE_OF, STATES, Verdict

LAY_UP = entry("lay_up", {"reason": "winter"})
HOLD = entry("hold", {"reason": "audit"})
BAD = walk(5, seat="defect", horn="defect")
SEAT, HORN = defect_id(BAD, "seat"), defect_id(BAD, "horn")
GOOD = walk()


def test_first_match_wins_and_all_reasons_are_told_blocking_ones_first():
    entries = [LAY_UP, HOLD, BAD, defer(SEAT, until=20), doubt(GOOD)]
    deferred = walk(4, coupler="defect")

    found = judge([*entries, deferred, defer(defect_id(deferred, "coupler"))], 480)

    assert found.state == "laid_up"
    assert [reason.code for reason in found.reasons] == [
        "laid_up", "defect", "hold", "deferral_over", "deferral_over", "not_walked", "doubt",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("entries", "state", "code"),
    [
        ([LAY_UP, GOOD], "laid_up", ["laid_up"]),
        ([HOLD, GOOD], "tagged_out", ["hold"]),
        ([BAD], "tagged_out", ["defect", "defect"]),
        ([BAD, clear(HORN), defer(SEAT, until=20)], "tagged_out", ["deferral_over"]),
        ([], "not_checked", ["not_walked"]),
        ([walk(seat=None)], "not_checked", ["cut_short"]),
        ([walk(confirmed=False)], "not_checked", ["unconfirmed"]),
        ([GOOD, doubt(BAD)], "not_checked", ["doubt"]),
        ([BAD, clear(HORN), defer(SEAT)], "ok_with_restrictions", ["deferred"]),
        ([GOOD], "ok_to_run", []),
    ],
)
def test_each_state_has_its_reason(entries, state, code):
    found = judge(entries)

    assert (found.state, [reason.code for reason in found.reasons]) == (state, code)
    assert found.may_run is (state in ("ok_to_run", "ok_with_restrictions"))
    assert (found.valid_until is not None) is found.may_run


def test_the_codes_are_those_of_the_design_each_under_its_state():
    table = {
        "laid_up": ["laid_up"],
        "tagged_out": ["defect", "hold", "deferral_over", "service_overdue"],
        "not_checked": ["cut_short", "unconfirmed", "not_walked", "doubt", "second_look"],
        "ok_with_restrictions": ["deferred"],
        "ok_to_run": [],
    }

    assert list(table) == list(STATES)
    assert {code: state for state, codes in table.items() for code in codes} == STATE_OF


def test_valid_until_is_the_end_of_the_shift_or_of_a_deferral_if_that_comes_sooner():
    entries = [BAD, clear(HORN)]

    assert judge([GOOD]).valid_until == make.at(480)
    assert judge([*entries, defer(SEAT, until=300)]).valid_until == make.at(300)
    assert judge([*entries, defer(SEAT, until=900)]).valid_until == make.at(480)


def test_valid_until_follows_also_a_deferral_that_covers_no_worse():
    entries = [BAD, clear(HORN), defer(SEAT, until=300), no_worse("seat", SEAT)]

    assert judge(entries).valid_until == make.at(300)


def test_a_reason_names_what_it_speaks_of():
    reasons = {r.code: r for r in judge([LAY_UP, HOLD, BAD, doubt(GOOD)]).reasons}

    assert reasons["laid_up"].lay_up == LAY_UP.id
    assert reasons["hold"].hold == HOLD.id
    assert reasons["doubt"].about == GOOD.id
    assert reasons["defect"].item in ("seat", "horn")


def test_the_walk_that_covers_is_named_and_a_failing_one_covers_too():
    assert judge([BAD, GOOD]).walked.entry == GOOD.id
    assert judge([BAD]).walked.entry == BAD.id
    assert judge([walk(seat=None)]).walked is None


def test_nothing_but_a_named_ending_lifts_anything():
    """Neither time nor walks, early or late, clean or not."""
    clean = [walk(minutes) for minutes in range(0, 480, 60)]

    assert "defect" in codes([BAD, *clean], 470)
    assert "hold" in codes([HOLD, *clean], 470)
    assert codes([LAY_UP, *clean], 470) == ["laid_up"]
    assert "doubt" in codes([doubt(BAD), *clean], 470)


def everything() -> list[books.Entry]:
    """Return entries of every kind that bears on the verdict, entangled with each other."""
    unsigned, crossed = walk(7, confirmed=False), walk(8, horn="defect")
    worse = no_worse("seat", SEAT, minutes=9)
    tyre = entry("defect", {"what": "cut", "critical": True}, 11)
    return [
        BAD, GOOD, HOLD, LAY_UP, unsigned, confirm(unsigned), crossed, worse, tyre,
        doubt(crossed, walk(8, id=crossed.id, tyre="defect")), settle(crossed),
        doubt(GOOD, walk(10, id=GOOD.id)), clear(HORN), clear(SEAT, confirmed=False),
        defer(SEAT, until=200), defer(SEAT, until=250), defer(defect_id(worse, "seat"), tyre.id),
        entry("release", {"hold": HOLD.id, "note": "n"}, 20),
        entry("return", {"lay_up": LAY_UP.id, "note": "n"}, 21),
        entry("meter_change", {"old": 95, "new": 1, "note": "n"}, 22),
        entry("hours", {"value": 90}, 12), withdraw(unsigned),
    ]  # fmt: skip


POOL = everything()
SOME = st.lists(st.sampled_from(POOL), max_size=len(POOL), unique_by=id)
MOMENTS = st.sampled_from([-30, 0, 15, 30, 220, 260, 479, 480, 490])
ENDINGS = ("clear", "release", "return", "settle")
FAST = settings(max_examples=300, deadline=None)


def rank(verdict: Verdict) -> int:
    """Return how loose a verdict is."""
    return STATES.index(verdict.state)


@FAST
@given(SOME, st.randoms(use_true_random=False), MOMENTS)
def test_the_order_of_arrival_changes_nothing(entries, chance, minutes):
    mixed = chance.sample(entries, len(entries))

    assert judge(mixed, minutes) == judge(entries, minutes)


@FAST
@given(SOME, MOMENTS)
def test_the_same_again_changes_nothing(entries, minutes):
    assert judge(entries + entries[::2], minutes).reasons == judge(entries, minutes).reasons


@FAST
@given(SOME, MOMENTS)
def test_leaving_out_an_ending_or_a_cover_never_loosens(entries, minutes):
    """Not even a second of two; by the letter this is not said of what `no_worse` rests on."""
    than = {id for e in entries for a in getattr(e.body, "answers", ()) for id in a.than}
    ends = [
        e for e in entries if e.kind in ENDINGS and than.isdisjoint(getattr(e.body, "defects", ()))
    ]

    for left_out in [*ends, *(e for e in entries if e is GOOD)]:
        rest = [entry for entry in entries if entry is not left_out]
        assert rank(judge(rest, minutes)) <= rank(judge(entries, minutes))


@FAST
@given(SOME, MOMENTS)
def test_one_more_failure_or_hold_never_loosens(entries, minutes):
    for more in (
        walk(12, tyre="defect"),
        entry("defect", {"what": "x"}),
        entry("hold", {"reason": "x"}),
    ):
        found = judge([*entries, more], minutes)

        assert rank(found) <= rank(judge(entries, minutes))
        assert not found.may_run


@FAST
@given(SOME, MOMENTS)
def test_nothing_runs_with_an_open_defect_or_a_hold(entries, minutes):
    found = judge(entries, minutes)

    assert found.may_run is ({reason.code for reason in found.reasons} <= {"deferred"})
    assert found.may_run is (found.valid_until is not None)
    assert found.valid_until is None or found.valid_until > make.at(minutes)
