"""Facts out of rows are facts out of entries, and rows follow what is learnt later."""

import pytest

from tests import make
from tests.door import MILAN, defect_id
from tests.tables import facts_in
from walkaround.actions.add_unit import add_unit
from walkaround.actions.replay_logbook import replay_logbook
from walkaround.actions.set_site import set_site
from walkaround.actions.set_unit import set_unit
from walkaround.actions.take_checklists import take_checklists
from walkaround.rules import instant
from walkaround.rules.instant import DAY, MINUTE
from walkaround.store import standings, units
from walkaround.store.lists import lists
from walkaround.store.verdicts import facts_at, facts_of

DEFER = {"restrictions": "slowly", "until": instant.text(make.at(300))}


@pytest.fixture
def folder(tmp_path):
    """The site's checklists in a folder that a test may change."""
    made = tmp_path / "lists"
    made.mkdir()
    for path in make.LISTS.glob("*.yaml"):
        (made / path.name).write_text(path.read_text())
    return made


def change(folder, old: str, new: str, name: str = "loader-start") -> None:
    path = folder / f"{name}.yaml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))


def replayed(door) -> bool:
    """Say whether replay gives the tables as they are."""
    before = facts_in(door.db)
    replay_logbook(door.db)
    return facts_in(door.db) == before


SEAT_CRITICAL = ("      - item: seat\n", "      - item: seat\n        critical: true\n")


def test_a_version_that_makes_an_item_critical_voids_what_was_deferred(door, folder):
    walk, report = door.walk(seat="defect"), door.send("defect", {"what": "torn", "item": "seat"})
    ids = [defect_id(walk, "seat"), report.id]
    for id in ids:
        door.send("defer", {"defects": [id], **DEFER}, MILAN)
    before = door.codes()

    change(folder, *SEAT_CRITICAL)
    taken = take_checklists(door.db, folder, door.now)

    assert (before, len(taken.new)) == (["deferred"], 1)
    assert set(door.verdict().reasons[0].defects) == set(ids)
    assert door.codes() == ["defect"]
    assert replayed(door)


def test_a_report_that_came_with_two_items_learns_that_one_of_them_is_critical(door, folder):
    report = door.send("defect", {"what": "torn", "item": "seat"})
    door.send("defect", {"what": "torn", "item": "mirror"}, id=report.id)

    change(folder, *SEAT_CRITICAL)
    take_checklists(door.db, folder, door.now)

    unit = units.find(door.db, "L07")
    found = facts_of(door.db, [unit], door.now)["L07"].defects
    assert [one.critical for one in found] == [True]
    assert replayed(door)


def test_an_item_stays_critical_when_the_list_takes_it_back(door, folder):
    change(folder, *SEAT_CRITICAL)
    take_checklists(door.db, folder, door.now)
    take_checklists(door.db, make.LISTS, door.now + MINUTE)
    id = defect_id(door.walk(seat="defect"), "seat")

    door.send("defer", {"defects": [id], **DEFER}, MILAN)

    assert door.codes() == ["defect"]


def test_a_contradicting_content_learns_of_a_critical_item_in_the_book_of_its_unit(door, folder):
    walk = door.walk(unit="D02")
    other = door.post(make.entry("walkaround", make.walkaround(seat="defect"), id=walk.id))
    id = defect_id(walk, "seat")
    door.send("defer", {"defects": [id], **DEFER}, MILAN)
    before = door.codes()

    change(folder, *SEAT_CRITICAL)
    take_checklists(door.db, folder, door.now)

    assert (other.result, before) == ("refused", ["unconfirmed", "doubt", "deferred"])
    assert door.codes() == ["defect", "unconfirmed", "doubt"]
    assert replayed(door)


def test_a_machine_that_changes_lowers_nothing_and_rows_follow(door):
    report = door.send("defect", {"what": "cut", "item": "tyre"})
    door.send("defer", {"defects": [report.id], **DEFER}, MILAN)
    before = door.codes()

    set_unit(door.db, "L07", door.now, machine="dozer")

    assert before == door.codes() == ["defect", "not_walked"]
    assert replayed(door)


def test_a_machine_that_changes_may_make_a_report_critical(door):
    report = door.send("defect", {"what": "cut", "item": "tyre"}, unit="D02")
    door.send("defer", {"defects": [report.id], **DEFER}, MILAN, unit="D02")
    before = door.codes("D02")

    set_unit(door.db, "D02", door.now, machine="wheel loader")

    assert (before, door.codes("D02")) == (["not_walked", "deferred"], ["defect", "not_walked"])
    assert replayed(door)


def test_the_first_limit_of_a_unit_holds_from_the_beginning_also_in_the_rows(door):
    fill = door.send("fill", {"fluid": "diesel", "litres": 9, "biodiesel_percent": 20})
    before = door.codes()

    set_unit(door.db, "L07", door.now, biodiesel_limit=7)

    assert (before, door.codes()) == (["not_walked"], ["defect", "not_walked"])
    assert door.verdict().reasons[0].defects == (defect_id(fill, "biodiesel"),)
    assert replayed(door)


def test_the_longest_interval_of_any_version_decides_how_far_back_a_measurement_is_sought(
    door, folder
):
    change(folder, "every: 7 d", "every: 30 d")
    take_checklists(door.db, folder, make.DAWN)
    (new,) = [v for v in versions(door) if v != make.VERSION]
    change(folder, "every: 30 d", "every: 1 d")
    take_checklists(door.db, folder, make.DAWN)
    early = {"minutes": 10 - 20 * DAY / MINUTE}
    door.walk(**early, more={"version": new, "for_shift": None})

    door.walk(pressure=None, more={"version": new})

    assert door.codes() == []


def versions(door) -> list[str]:
    return [
        v.checklist.version for v in lists(door.db).versions if v.checklist.name == "loader-start"
    ]


def test_a_walk_far_back_for_this_shift_and_one_valid_by_its_own_length_are_found(door, folder):
    change(folder, "guide_minutes: 2", "guide_minutes: 2\nvalid_for: 30 h")
    take_checklists(door.db, folder, make.DAWN)
    (new,) = [v for v in versions(door) if v != make.VERSION]

    door.walk(minutes=-25 * 60, more={"version": new})

    assert door.codes(at=make.at(0)) == []
    assert door.codes(at=make.at(5 * 60)) == ["not_walked"]


def test_an_unconfirmed_walk_for_this_shift_is_named_whenever_it_was_made(door):
    start = instant.text(make.at(480))
    door.walk(minutes=1, proved=False, more={"for_shift": start})

    assert door.codes(at=make.at(490)) == ["unconfirmed"]


def test_shift_times_that_change_leave_earlier_shifts_as_they_were(door):
    door.walk()
    set_site(door.db, {"shifts": "07:00,19:00"}, make.at(30))

    assert door.codes(at=make.at(20)) == []
    assert door.codes(at=make.at(59)) == []
    assert door.codes(at=make.at(60)) == ["not_walked"]


def test_a_second_look_is_asked_for_from_when_the_site_says_so(door):
    walk = door.walk(minutes=5, tyre="defect", seat="defect")
    ids = [defect_id(walk, item) for item in ("tyre", "seat")]
    work = {"outcome": "repaired", "work": "w"}
    set_site(door.db, {"second_look": "on"}, make.at(29))
    repair = door.send("clear", {"defects": ids, **work}, MILAN, minutes=20)
    codes = door.codes()

    door.walk(minutes=25, more={"looked_again": [repair.id]})

    assert codes == ["second_look"]
    assert door.codes() == []
    assert replayed(door)


@pytest.mark.parametrize(("days", "result"), [(30, "accepted"), (30.001, "refused")])
def test_nobody_defers_for_longer_than_the_site_lets(door, days, result):
    until = instant.text(make.at(10) + round(days * DAY))
    body = {"defects": [make.entry("x", {})["id"]], **DEFER, "until": until}

    assert door.send("defer", body, MILAN).result == result


def test_a_deferral_is_still_known_when_the_site_lets_nobody_defer_for_so_long_any_more(door):
    body = {
        "defects": [make.entry("x", {})["id"]],
        **DEFER,
        "until": instant.text(make.at(10) + 9 * DAY),
    }
    sent = make.entry("defer", body)
    first = door.post(sent, MILAN)
    set_site(door.db, {"defer_days": "5"}, make.at(20))

    assert (first.result, door.post(sent, MILAN).result) == ("accepted", "known")
    assert door.send("defer", body, MILAN, minutes=25).result == "refused"


def test_past_verdicts_rest_on_what_had_been_received_by_then(door):
    door.walk(seat="defect")
    door.now = make.at(40)
    door.walk(minutes=35, horn="defect")
    unit = units.find(door.db, "L07")

    found = {
        minutes: sorted(
            r.item or r.code for r in standings.at(door.db, unit, make.at(minutes)).verdict.reasons
        )
        for minutes in (29, 30, 39, 40)
    }

    assert found == {29: ["not_walked"], 30: ["seat"], 39: ["seat"], 40: ["horn", "seat"]}


def test_the_whole_board_stands_as_each_unit_does(door):
    for number in range(20):
        add_unit(door.db, f"N{number}", "wheel loader", make.DAWN)
    door.walk(horn="defect", more={"hours": 100}, unit="N3")
    every = units.every(door.db)
    board = facts_of(door.db, every, door.now)

    for unit in every:
        assert facts_of(door.db, [unit], door.now)[unit.number] == board[unit.number]


def test_everything_that_is_kept_of_a_defect_comes_back(door):
    door.walk(minutes=5, seat="defect", pressure=200, tyre="no_worse")
    unit = units.find(door.db, "L07")

    by_rows = facts_of(door.db, [unit], door.now)["L07"].defects
    by_entries = facts_at(door.db, unit, door.now).defects

    assert len(by_rows) == 3
    assert set(by_rows) == set(by_entries)
