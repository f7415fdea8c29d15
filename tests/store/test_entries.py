"""Entries as they are stored, and as the rules take them."""

import json

import pytest

from tests import make
from tests.door import OLGA, SARA
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.actions.person_leaves import person_leaves
from walkaround.rules.entry import CLOCK, LEFT
from walkaround.rules.instant import MINUTE
from walkaround.store import entries


def read(door, place: int = -1, unit: str = "L07"):
    return entries.reader(door.db).entry(door.rows(unit)[place])


@pytest.mark.parametrize(
    ("skew", "moved"), [(119_999, 0), (120_000, 120_000), (-3_600_000, -3_600_000), (0, 0)]
)
def test_a_wrong_clock_is_put_right_and_kept_as_it_was(door, skew, moved):
    door.walk(sent_at=door.now - skew)

    entry, row = read(door), door.rows()[-1]
    assert (entry.made_at, entry.skew) == (make.at(10) + moved, moved)
    assert (row.made_at, row.skew_ms) == ("2026-11-25T05:10:00Z", skew)


def test_an_entry_from_a_file_has_no_skew(door):
    door.walk(sent_at=None)

    assert door.rows()[-1].skew_ms == 0


@pytest.mark.parametrize(("minutes", "trouble"), [(35, set()), (35.1, {CLOCK})])
def test_the_future_is_told_by_the_corrected_clock(door, minutes, trouble):
    door.now = make.at(30)

    door.send("hours", {"value": 90}, minutes=minutes - 10, sent_at=door.now - 10 * MINUTE)

    assert read(door).trouble == trouble
    assert door.rows()[-1].signature == ("unconfirmed" if trouble else "confirmed")


def test_who_left_and_which_phone_came_when_is_known(door):
    phone, _ = enrol_phone(door.db, add_phone(door.db, None, make.at(12)), make.at(12))
    person_leaves(door.db, "101", make.at(20))

    for minutes, device in ((10, phone), (13, phone), (25, phone), (10, "none of ours")):
        door.send("hours", {"value": 90}, minutes=minutes, more={"device": device})

    assert [read(door, place).trouble for place in range(4)] == [{CLOCK}, set(), {LEFT}, set()]


def test_a_doubt_is_the_servers_own_and_its_content_is_weighed_with_its_senders_clock(door):
    id = door.walk().id
    door.post(make.entry("walkaround", make.walkaround(9), id=id), sent_at=door.now - 5 * MINUTE)

    doubt = read(door)

    assert (doubt.made_at, doubt.skew, doubt.by) == (door.now, 0, None)
    assert (doubt.body.other.made_at, doubt.body.other.skew) == (make.at(15), 5 * MINUTE)


def test_a_doubt_about_something_unreadable_holds_nothing_that_could_count(door):
    door.post({**make.entry("walkaround", make.walkaround(horn="defect")), "n": "x"})

    assert read(door).body.other is None


def test_members_are_what_the_design_lists_and_the_content_is_what_was_sent(door):
    sent = make.entry("hold", {"reason": "audit", "extra": [1, 2.50, None]})
    door.post(sent, SARA)

    row = door.rows()[-1]
    members = entries.members(row)

    assert members["body"] == {"reason": "audit", "extra": [1, 2.5, None]}
    assert members == {**json.loads(row.text), "hash": row.hash}
    assert entries.content(row) == {n: sent[n] for n in ("kind", "unit", "made_at", "body")}


def test_roles_are_those_at_the_making(door):
    door.walk(OLGA)

    assert read(door).roles == ("operator",)


def test_entries_are_found_by_id_wherever_they_are(door):
    ids = [door.walk(unit=unit).id for unit in ("L07", "D02")]

    assert entries.find(door.db, ids[1]).unit == "D02"
    assert [row.id for row in entries.named(door.db, ids)] == ids[::-1]
    assert entries.find(door.db, make.entry("x", {})["id"]) is None
