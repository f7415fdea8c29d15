import pytest

from walkaround.web.loop import HEIGHT, LEFT, TOP, WIDTH, beads

ROUND = ["front-left", "front", "front-right", "right", "rear-right", "rear", "rear-left", "left"]


def test_a_station_stands_where_its_name_says():
    stands = dict(zip(ROUND, beads(ROUND), strict=True))

    assert stands["front-left"] == (LEFT, TOP)
    assert stands["front-right"] == (LEFT + WIDTH, TOP)
    assert stands["rear"] == (LEFT + WIDTH / 2, TOP + HEIGHT)
    assert stands["left"] == (LEFT, TOP + HEIGHT / 2)


def test_the_way_round_does_not_move_a_station():
    other_way = dict(zip(ROUND[::-1], beads(ROUND[::-1]), strict=True))

    assert other_way == dict(zip(ROUND, beads(ROUND), strict=True))


@pytest.mark.parametrize("way", [1, -1])
def test_a_station_without_a_side_stands_between_its_neighbours(way):
    walk = ["front-right", "engine", "rear-right", "rear-left", "front-left"][::way]

    engine = beads(walk)[walk.index("engine")]

    assert engine == (LEFT + WIDTH, TOP + HEIGHT / 2)


def test_a_station_between_the_last_and_the_first_stands_between_them():
    assert beads(["front", "right", "rear", "bucket"])[3] == (LEFT, TOP + HEIGHT / 2)


def test_stations_at_one_place_stand_beside_each_other_in_walking_order():
    first, second = beads(["right-tyres", "right-lamps", "rear", "left"])[:2]

    assert first.x == second.x == LEFT + WIDTH
    assert first.y < TOP + HEIGHT / 2 < second.y


def test_the_cab_is_inside():
    assert beads([*ROUND, "cab"])[-1] == (LEFT + WIDTH / 2, TOP + HEIGHT / 2)


def test_stations_that_say_nothing_stand_evenly():
    places = beads(["one", "two", "three", "four"])

    assert len(set(places)) == 4
    assert all(on_loop(x, y) for x, y in places)


def test_no_station_gives_no_bead():
    assert beads([]) == []


def on_loop(x, y):
    return x in (LEFT, LEFT + WIDTH) or y in (TOP, TOP + HEIGHT)
