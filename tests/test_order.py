"""The stories in which people's entries cross, told in every order in which they can arrive."""

import math
from typing import Any

import pytest
from sqlalchemy import Engine

from tests import history, make, naive_verdict
from tests.arrivals import (
    End,
    Story,
    clear,
    defer,
    hold,
    no_worse,
    release,
    report,
    telling,
    told,
    walk,
)
from tests.door import SARA, Door, plain
from tests.people import some_keys
from walkaround.actions.add_person import add_person
from walkaround.store.db import make_session

MINA = "202"  # a second mechanic, by her crew number
SHIFT_END = "2026-11-25T13:00:00Z"  # 14:00 in Madrid
RUNS: End = ("ok_to_run", set(), SHIFT_END)


def both_are(code: str) -> set[tuple[str, str]]:
    return {(code, "found/seat"), (code, "same/seat")}


LATE_CHECK = {
    "found": walk(10, seat="defect"),
    "repair": clear(20, "found/seat"),
    "late": walk(15, SARA, seat="defect"),  # seen before the repair, by somebody who was away
    "clean": walk(30),
}
HOLDS = {
    "audit": hold(10),
    "over": release(40, "audit"),
    "fence": hold(15),
    "clean": walk(20),
}
DEFERRED = {
    "found": walk(10, seat="defect"),
    "week": defer(20, "found/seat", until=240),  # 10:00 in Madrid; the first arrival is at 10:10
    "same": no_worse(50, "seat", "found/seat"),
}
STORIES = {
    "a failing check that was made before a repair": Story(
        LATE_CHECK, {300: ("tagged_out", {("defect", "late/seat")}, None)}
    ),
    "that check, and the repair of what it found": Story(
        {**LATE_CHECK, "again": clear(120, "late/seat", slow=60)},
        {300: RUNS, 480: ("not_checked", {("not_walked", "")}, None)},
    ),
    "a clean check that did not know of a tag-out": Story(
        {
            "smoke": report(20),
            "clean": walk(15, slow=60),
            "bad": walk(25, SARA, horn="defect", tyre="defect"),
            "repair": clear(35, "bad/horn", "bad/tyre"),
        },
        {300: ("tagged_out", {("defect", "smoke")}, None)},
    ),
    "that check, once the tag-out is ended": Story(
        {
            "smoke": report(20),
            "clean": walk(15),
            "repair": clear(35, "smoke"),
        },
        {300: RUNS},
    ),
    "two mechanics who clear the same defect": Story(
        {
            "found": walk(10, seat="defect", horn="defect"),
            "first": clear(20, "found/seat", "found/horn"),
            "second": clear(25, "found/seat", by=MINA),
            "clean": walk(30, SARA),
        },
        {300: RUNS},
    ),
    "two holds, both released": Story({**HOLDS, "mended": release(45, "fence")}, {300: RUNS}),
    "two holds, one released with a wrong PIN": Story(
        {**HOLDS, "mended": release(45, "fence", proved=False)},
        {300: ("tagged_out", {("hold", "fence")}, None)},
    ),
    "a deferral that ran out while it was away": Story(
        {**DEFERRED, "clean": walk(60)},
        {
            230: ("ok_with_restrictions", both_are("deferred"), "2026-11-25T09:00:00Z"),
            300: ("tagged_out", both_are("deferral_over"), None),
        },
    ),
    "that deferral, and a longer one made after it": Story(
        {**DEFERRED, "month": defer(70, "found/seat", until=420)},
        {
            300: ("ok_with_restrictions", both_are("deferred"), "2026-11-25T12:00:00Z"),
            420: ("tagged_out", both_are("deferral_over"), None),
        },
    ),
    "two who find the same, and a repair that names one": Story(
        {
            "found": walk(10, seat="defect"),
            "also": walk(12, SARA, seat="defect"),
            "repair": clear(20, "found/seat"),
            "clean": walk(30),
        },
        {300: ("tagged_out", {("defect", "also/seat")}, None)},
    ),
}


@pytest.mark.parametrize("story", STORIES.values(), ids=STORIES)
def test_the_order_of_arrival_changes_nothing(story: Story):
    engine = with_mina(history.in_memory())

    orders = tell(story, engine)

    engine.dispose()
    assert orders == math.factorial(len(story.made))


def test_nor_does_it_on_any_database(both: Engine):
    story = STORIES["a failing check that was made before a repair"]

    assert tell(story, both) == 24


def tell(story: Story, engine: Engine) -> int:
    """Tell a story in every order, look at it after each arrival; return how many orders ended."""
    standing: dict[frozenset[str], Any] = {}
    with telling(story, engine) as told_now:
        for arrived, door in told_now.nodes():
            so_far, found = frozenset(arrived), plain(door.verdict())
            if so_far not in standing:
                standing[so_far] = naive_verdict.verdict(told_now.naive(), door.now)
            assert found == standing[so_far], arrived
            nothing_counts_before_it_came(story, so_far, found[0])
            if len(arrived) == len(story.made):
                it_ends_as_written(story, door)
    return told_now.reached


def nothing_counts_before_it_came(story: Story, arrived: frozenset[str], state: str) -> None:
    """What was found stands until an ending of it has come; nothing runs before a walk has."""
    for name in arrived:
        for endings in story.endings(name):
            assert state == "tagged_out" or endings & arrived, (name, arrived)
    walks = {name for name in arrived if story.made[name].kind == "walkaround"}
    assert walks or not state.startswith("ok"), arrived


def it_ends_as_written(story: Story, door: Door) -> None:
    for minutes, end in story.ends.items():
        assert told(door.verdict(at=make.at(minutes)), story) == end


def with_mina(engine: Engine) -> Engine:
    with make_session(engine, make.SITE) as db:
        add_person(db, some_keys(), MINA, "Mina Mechanic", ["mechanic"], "5518", make.DAWN)
    return engine
