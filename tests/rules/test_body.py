"""Which bodies can be read (design, sections 3 and 6)."""

import pytest

from tests import make
from walkaround.rules.body import KINDS, is_uuid
from walkaround.store import bodies
from walkaround.store.bodies import Unreadable

ID = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"  # the example of RFC 9562, appendix A.6
HASH = "a" * 64
GOOD = {
    "walkaround": make.walkaround(),
    "defect": {"what": "smoke"},
    "clear": {"defects": [ID], "outcome": "repaired", "work": "w"},
    "defer": {"defects": [ID], "restrictions": "r", "until": "2026-12-01T00:00:00Z"},
    "hold": {"reason": "r"},
    "release": {"hold": ID, "note": "n"},
    "hours": {"value": 84.5},
    "meter_change": {"old": 84, "new": 0, "note": "n"},
    "service": {"interval": "500 h", "hours": 500, "work": "w"},
    "fill": {"fluid": "diesel", "litres": 10},
    "lay_up": {"reason": "r"},
    "return": {"lay_up": ID, "note": "n"},
    "correction": {"entry": ID, "what": "w"},
    "confirm": {"entry": ID},
    "settle": {"about": ID, "note": "n"},
}
FULL = {  # every member that the contract gives as optional
    "walkaround": {
        "for_shift": "2026-11-25T06:00:00+01:00",
        "hours": 84,
        "looked_again": [ID],
        "entered_for": "101",
        "paper": HASH,
        "answers": [
            {
                "item": "tyre",
                "answer": "defect",
                "findings": ["cut"],
                "note": "n",
                "photos": [HASH],
                "than": [ID],
                "at": "2026-11-25T05:05:00Z",
            }
        ],
    },
    "defect": {"item": "tyre", "critical": True, "findings": ["cut"], "photos": [HASH]},
    "clear": {"parts": "one seat", "hours": 90, "photos": [HASH]},
    "defer": {"until_hours": 120},
    "correction": {"withdraws": True},
    "fill": {"hours": 90, "to_full": True, "biodiesel_percent": 7},
}
WRONG = [
    ("walkaround", "checklist", " "),
    ("walkaround", "version", None),
    ("walkaround", "started_at", "2026-11-25T06:00:00"),
    ("walkaround", "finished_at", 1),
    ("walkaround", "for_shift", "at dawn"),
    ("walkaround", "answers", None),
    ("walkaround", "answers", {"tyre": "in_order"}),
    ("walkaround", "answers", [{"item": "tyre"}]),
    ("walkaround", "answers", [{"item": "tyre", "answer": "in_order", "value": 3}]),
    ("walkaround", "answers", [{"item": "tyre", "answer": "fine"}]),
    ("walkaround", "answers", [{"item": "tyre", "value": "340"}]),
    ("walkaround", "answers", [{"item": "tyre", "value": True}]),
    ("walkaround", "answers", [{"item": "tyre", "answer": "no_worse", "than": ["it"]}]),
    ("walkaround", "hours", -1),
    ("walkaround", "looked_again", ["x"]),
    ("defect", "what", "\n\t "),
    ("defect", "critical", "yes"),
    ("clear", "defects", []),
    ("clear", "defects", ["L07"]),
    ("clear", "outcome", "painted"),
    ("clear", "work", ""),
    ("defer", "until", None),
    ("defer", "until", ""),
    ("defer", "restrictions", " "),
    ("defer", "until_hours", -2),
    ("hold", "reason", ""),
    ("release", "note", " "),
    ("release", "hold", None),
    ("hours", "value", "84"),
    ("hours", "value", None),
    ("meter_change", "note", ""),
    ("service", "interval", "500"),
    ("service", "work", " "),
    ("fill", "fluid", "water"),
    ("fill", "litres", None),
    ("lay_up", "reason", " "),
    ("return", "note", ""),
    ("correction", "what", ""),
    ("correction", "withdraws", 1),
    ("confirm", "entry", "x"),
    ("settle", "note", ""),
    ("settle", "about", 1),
]


def test_the_kinds_are_those_of_the_design_that_people_make():
    assert KINDS.keys() == GOOD.keys()


@pytest.mark.parametrize("kind", GOOD)
def test_a_body_is_read_with_what_it_must_hold_and_with_all_it_may(kind):
    bodies.read(kind, GOOD[kind])
    bodies.read(kind, GOOD[kind] | FULL.get(kind, {}))


@pytest.mark.parametrize("kind", GOOD)
def test_a_null_member_counts_as_absent_and_an_unknown_one_is_let_be(kind):
    nulls = dict.fromkeys(FULL.get(kind, {}).keys() - {"answers"})

    assert bodies.read(kind, GOOD[kind] | nulls | {"colour": "?"}) == bodies.read(kind, GOOD[kind])


@pytest.mark.parametrize(("kind", "member", "value"), WRONG)
def test_a_body_that_lacks_or_bends_a_member_is_unreadable(kind, member, value):
    with pytest.raises(Unreadable, match=member):
        bodies.read(kind, GOOD[kind] | {member: value})


@pytest.mark.parametrize("kind", ["doubt", "label", "teleport", "", "Walkaround"])
def test_a_kind_of_the_server_or_of_nobody_is_unreadable(kind):
    with pytest.raises(Unreadable):
        bodies.read(kind, {"about": ID, "why": "w"})


@pytest.mark.parametrize("body", [None, [], "text", 7, True])
def test_what_is_no_object_is_no_body(body):
    with pytest.raises(Unreadable):
        bodies.read("hold", body)


@pytest.mark.parametrize("text", [ID, ID.upper(), "00000000-0000-0000-0000-000000000000"])
def test_a_uuid_may_be_written_in_either_case(text):
    """RFC 9562, section 4: input is case-insensitive."""
    assert is_uuid(text)


@pytest.mark.parametrize(
    "text", ["", ID[:-1], f"{{{ID}}}", ID.replace("-", ""), f"urn:uuid:{ID}", 7]
)
def test_other_ways_to_write_a_uuid_are_none(text):
    assert not is_uuid(text)


def test_ids_inside_a_body_compare_without_their_case():
    lower, upper = (
        bodies.read("clear", {"defects": [id], "outcome": "repaired", "work": "w"})
        for id in (ID, ID.upper())
    )

    assert lower == upper
