"""The table of what arrives and how it counts (design, section 3), each cell, through the door."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from tests import make
from tests.door import MILAN, OLGA, SARA, Door, defect_id
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.actions.enter import Result
from walkaround.actions.person_leaves import person_leaves
from walkaround.rules import instant
from walkaround.store import standings, units

Body = dict[str, Any]


@dataclass(frozen=True)
class Line:
    """One kind: who sends it, what has to be there first, what it does when it counts."""

    by: str
    ground: Callable[[Door], Body]
    counts: Callable[[Door], bool]


def walked(door: Door) -> Body:
    return make.walkaround()


def with_defect(body: Callable[[str], Body]) -> Callable[[Door], Body]:
    def ground(door: Door) -> Body:
        return body(defect_id(door.walk(seat="defect", minutes=9), "seat"))

    return ground


def with_entry(kind: str, body: Body, wanted: Callable[[str], Body]) -> Callable[[Door], Body]:
    def ground(door: Door) -> Body:
        return wanted(door.send(kind, body, SARA, minutes=9).id)

    return ground


def with_doubt(door: Door) -> Body:
    sent = make.entry("walkaround", {"answers": "all fine"})
    door.post(sent)
    return {"about": sent["id"], "note": "the phone was broken"}


def with_walk(*, proved: bool) -> Callable[[Door], Body]:
    def ground(door: Door) -> Body:
        id = door.walk(minutes=9, proved=proved).id
        return (
            {"entry": id, "what": "the wrong unit", "withdraws": True} if proved else {"entry": id}
        )

    return ground


def has(code: str) -> Callable[[Door], bool]:
    return lambda door: code in door.codes()


def lacks(code: str) -> Callable[[Door], bool]:
    return lambda door: code not in door.codes()


def stands_at(hours: float) -> Callable[[Door], bool]:
    def look(door: Door) -> bool:
        unit = units.find(door.db, "L07")
        return unit is not None and standings.of(door.db, unit, door.now).hours == hours

    return look


DEFER = {"restrictions": "no night work", "until": instant.text(make.at(600))}
FILL = {"fluid": "diesel", "litres": 80, "hours": 200}
LINES = {
    "walkaround": Line(OLGA, walked, lambda door: door.verdict().state == "ok_to_run"),
    "clear": Line(
        MILAN,
        with_defect(lambda id: {"defects": [id], "outcome": "repaired", "work": "new cover"}),
        lacks("defect"),
    ),
    "defer": Line(MILAN, with_defect(lambda id: {"defects": [id], **DEFER}), has("deferred")),
    "release": Line(
        SARA,
        with_entry("hold", {"reason": "audit"}, lambda id: {"hold": id, "note": "over"}),
        lacks("hold"),
    ),
    "return": Line(
        SARA,
        with_entry("lay_up", {"reason": "winter"}, lambda id: {"lay_up": id, "note": "spring"}),
        lacks("laid_up"),
    ),
    "settle": Line(SARA, with_doubt, lacks("doubt")),
    "lay_up": Line(SARA, lambda door: {"reason": "winter"}, has("laid_up")),
    "meter_change": Line(
        SARA, lambda door: {"old": 84, "new": 3, "note": "broken glass"}, stands_at(3)
    ),
    "service": Line(
        MILAN, lambda door: {"interval": "250 h", "hours": 200, "work": "oil"}, stands_at(200)
    ),
    "correction": Line(OLGA, with_walk(proved=True), has("not_walked")),
    "confirm": Line(OLGA, with_walk(proved=False), lacks("unconfirmed")),
    "hours": Line(OLGA, lambda door: {"value": 200}, stands_at(200)),
    "fill": Line(OLGA, lambda door: dict(FILL), stands_at(200)),
}
FOUND: dict[str, tuple[str, Body, str]] = {  # what tags out: by whom, body, reason
    "walkaround": (OLGA, make.walkaround(tyre="defect"), "defect"),
    "defect": (OLGA, {"what": "smoke from the cab"}, "defect"),
    "hold": (SARA, {"reason": "audit"}, "hold"),
}


def wrong_pin(door: Door, kind: str, body: Body, by: str) -> Result:
    return door.send(kind, body, by, proved=False)


def person_left(door: Door, kind: str, body: Body, by: str) -> Result:
    person_leaves(door.db, make.CREW[by][0], make.at(9.5))
    return door.send(kind, body, by)


def from_the_future(door: Door, kind: str, body: Body, by: str) -> Result:
    return door.send(kind, body, by, minutes=36)


def before_enrolment(door: Door, kind: str, body: Body, by: str) -> Result:
    phone, _ = enrol_phone(door.db, add_phone(door.db, None, make.at(12)), make.at(12))
    return door.send(kind, body, by, more={"device": phone})


CAUSES = {
    "wrong PIN": wrong_pin,
    "person left": person_left,
    "clock in the future": from_the_future,
    "made before the phone was enrolled": before_enrolment,
}


@pytest.mark.parametrize("kind", LINES)
def test_an_entry_counts_when_its_maker_may_and_signed(door, kind):
    line = LINES[kind]
    body = line.ground(door)
    assert not line.counts(door)

    result = door.send(kind, body, line.by)

    assert result.result == "accepted"
    assert result.why is None
    assert line.counts(door)


@pytest.mark.parametrize("cause", CAUSES)
@pytest.mark.parametrize("kind", LINES)
def test_an_unconfirmed_entry_does_no_good(door, kind, cause):
    line = LINES[kind]
    body = line.ground(door)

    result = CAUSES[cause](door, kind, body, line.by)

    assert result.result == "accepted"
    assert result.why
    assert door.rows()[-1].signature == "unconfirmed"
    assert not line.counts(door)


@pytest.mark.parametrize("cause", ["signed", *CAUSES])
@pytest.mark.parametrize("kind", FOUND)
def test_what_is_bad_counts_whoever_says_it(door, kind, cause):
    door.walk(minutes=5)
    by, body, code = FOUND[kind]

    result = CAUSES.get(cause, lambda d, *sent: d.send(*sent))(door, kind, body, by)

    assert result.result == "accepted"
    assert door.codes() == [code]
    assert door.verdict().state == "tagged_out"


@pytest.mark.parametrize(
    ("more", "given"),
    [
        ({"checklist": "no-such-list"}, {}),
        ({"version": "0" * 64}, {}),
        ({}, {"bonnet": "in_order"}),
        ({"finished_at": instant.text(make.at(1))}, {}),
    ],
    ids=["unknown list", "unknown version", "unknown item", "finished before started"],
)
def test_a_walkaround_that_cannot_be_weighed_covers_nothing_and_its_failures_count(
    door, more, given
):
    given["coupler"] = "in_order"  # an unknown list calls nothing optional
    clean = door.walk(more=more, **given)
    codes = door.codes()
    door.walk(more=more, **{**given, "horn": "defect"}, minutes=11)

    assert (clean.result, codes) == ("accepted", ["unconfirmed"])
    assert door.codes() == ["defect", "unconfirmed"]


ONLY_SOME = [
    "hold",
    "clear",
    "defer",
    "release",
    "return",
    "settle",
    "lay_up",
    "meter_change",
    "service",
]


@pytest.mark.parametrize("kind", ONLY_SOME)
def test_what_the_role_may_not_do_is_refused_and_has_no_effect(door, kind):
    body = {"reason": "audit"} if kind == "hold" else LINES[kind].ground(door)
    rows, codes = len(door.rows()), door.codes()

    result = door.send(kind, body, OLGA)

    assert result.result == "refused"
    assert (len(door.rows()), door.codes()) == (rows, codes)


@pytest.mark.parametrize("kind", ["walkaround", "defect", "hours", "fill", "confirm", "correction"])
@pytest.mark.parametrize("by", [OLGA, MILAN, SARA])
def test_everybody_may(door, kind, by):
    bodies = {"defect": {"what": "smoke"}, "hours": {"value": 90}, "fill": FILL}
    own = door.walk(by, minutes=8).id
    bodies |= {"walkaround": make.walkaround(), "confirm": {"entry": own}}
    bodies["correction"] = {"entry": own, "what": "a word"}

    assert door.send(kind, bodies[kind], by).result == "accepted"


UNREADABLE: dict[str, Body] = {
    "walkaround": {"checklist": "loader-start"},
    "defect": {"what": "  "},
    "hold": {"reason": ""},
    "clear": {"defects": []},
    "defer": {"defects": [make.entry("x", {})["id"]], "restrictions": "none"},
    "release": {"hold": "L07", "note": "n"},
    "return": {"lay_up": None, "note": "n"},
    "settle": {"about": make.entry("x", {})["id"], "note": " "},
    "lay_up": {},
    "meter_change": {"old": "84", "new": 3, "note": "n"},
    "service": {"interval": "often", "hours": 2, "work": "w"},
    "correction": {"entry": 7, "what": "w"},
    "confirm": {},
    "hours": {"value": -1},
    "fill": {"fluid": "water", "litres": 2},
    "teleport": {"to": "the moon"},
    "doubt": {"about": make.entry("x", {})["id"], "why": "w"},
    "label": {"old": "a", "new": "b"},
}
BLOCKS = {"walkaround", "defect", "hold", "teleport", "doubt", "label"}


@pytest.mark.parametrize("kind", UNREADABLE)
def test_what_cannot_be_read_is_refused_and_blocks_where_a_failure_may_hide_in_it(door, kind):
    door.walk(minutes=5)
    sent = make.entry(kind, UNREADABLE[kind])

    result = door.post(sent, SARA)

    doubts = [row.kind for row in door.rows()[1:]]
    assert (result.id, result.result) == (sent["id"], "refused")
    assert doubts == (["doubt"] if kind in BLOCKS else [])
    assert door.codes() == (["doubt"] if kind in BLOCKS else [])
