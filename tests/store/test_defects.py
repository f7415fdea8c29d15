import pytest
from sqlalchemy import event

from tests import make
from tests.door import MILAN, OLGA, defect_id
from walkaround.rules.instant import DAY
from walkaround.store import defects
from walkaround.store.defects import Times

NOW = make.at(30)
PLACE = ("L07", "seat")


def find(door, minutes=10, **more):
    return defect_id(door.walk(minutes=minutes, seat="defect", **more), "seat")


def clear(door, *ids, minutes=20, by=MILAN, **more):
    body = {"defects": list(ids), "outcome": "repaired", "work": "x"}
    return door.send("clear", body, by, minutes=minutes, **more).id


def test_what_one_clear_ended_failed_once(door):
    clear(door, find(door, 5), find(door, 6), minutes=7)
    clear(door, find(door, 8), minutes=9)
    find(door, 10)

    assert defects.times(door.db, [PLACE], NOW) == {PLACE: Times(lately=2, in_all=2)}


def test_what_was_found_over_sixty_days_ago_counts_in_all_only(door):
    clear(door, find(door, 5), minutes=7)

    found = defects.times(door.db, [PLACE], make.at(5) + 60 * DAY + 1)

    assert found == {PLACE: Times(lately=0, in_all=1)}


def test_another_unit_and_another_item_count_for_themselves(door):
    clear(door, find(door), minutes=20)

    found = defects.times(door.db, [PLACE, ("D02", "seat"), ("L07", "horn")], NOW)

    assert found == {PLACE: Times(1, 1)}


def test_the_repairs_of_an_item_are_found_with_their_place_in_the_logbook(door):
    id = clear(door, find(door), minutes=20)

    (repair,) = defects.repairs(door.db, [PLACE], NOW)[PLACE]

    assert (repair.entry, repair.seq, repair.by) == (id, 2, "201")
    assert repair.made_at == make.at(20)


@pytest.mark.parametrize(
    ("seen", "known"),
    [(None, None), ({"seq": 3, "hash": "0"}, 3), ({"seq": True}, None), ({"seq": "3"}, None)],
)
def test_what_a_maker_had_seen_is_read_with_care(door, seen, known):
    entry = door.send("hours", {"value": 90}, more={"seen": seen}).id

    assert defects.heard(door.db, [entry])[entry].seen == known


def test_what_waits_for_a_confirmation_is_told_apart(door):
    seat = find(door)
    waiting = clear(door, seat, proved=False)

    told = defects.told(door.db, "L07", [seat])

    assert [entry.id for entry in told.waiting] == [waiting]
    assert told.clears == ()


def test_the_newest_clears_of_an_item_come_first_and_not_without_end(door):
    for minute in range(1, 2 * defects.REPAIRS_SHOWN + 3, 2):
        last = clear(door, find(door, minute), minutes=minute + 1)

    found = defects.cleared_before(door.db, PLACE)

    assert len(found) == defects.REPAIRS_SHOWN
    assert found[0][1].id == last
    assert last not in [e.id for _, e in defects.cleared_before(door.db, PLACE, without=[last])]


def test_who_clears_what_they_found_is_named(door):
    own = clear(door, find(door, 5, by=MILAN), minutes=7)
    other = clear(door, find(door, 8, by=OLGA), minutes=9)

    assert defects.same_person(door.db, "L07", {own: "201", other: "201"}) == {own}


def test_the_list_needs_as_many_queries_however_many_lines_there_are(door):
    places = [("L07", item) for item in ("seat", "tyre", "horn", "coupler")]
    for minute, (_, item) in enumerate(places):
        walk = door.walk(minutes=minute + 1, **{item: "defect"})
        clear(door, defect_id(walk, item), minutes=minute + 5)
    asked = []

    def note(_connection, _cursor, statement, *_rest):
        asked.append(statement.split()[0])

    event.listen(door.db.get_bind(), "before_cursor_execute", note)

    defects.times(door.db, places, NOW)
    defects.repairs(door.db, places, NOW)

    assert asked.count("SELECT") == 3
