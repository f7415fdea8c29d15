from collections.abc import Sequence
from typing import NamedTuple

LEFT, TOP, WIDTH, HEIGHT = 12, 12, 96, 136  # the loop on a plan of 120 by 160, front upwards
LENGTH = 2 * (WIDTH + HEIGHT)
STEP = 19  # between two beads at the same place
CORNERS = {
    ("front", "left"): 0.0,
    ("front", ""): WIDTH / 2,
    ("front", "right"): WIDTH,
    ("", "right"): WIDTH + HEIGHT / 2,
    ("rear", "right"): WIDTH + HEIGHT,
    ("rear", ""): WIDTH * 1.5 + HEIGHT,
    ("rear", "left"): WIDTH * 2 + HEIGHT,
    ("", "left"): WIDTH * 2 + HEIGHT * 1.5,
}


class Bead(NamedTuple):
    x: float
    y: float


def beads(stations: Sequence[str]) -> list[Bead]:
    """Return where each station stands: by the words of its name, else between its neighbours."""
    where = [_place(name) for name in stations]
    inside = [at for at, name in enumerate(stations) if "cab" in name.split("-")]
    walked = [at for at in range(len(stations)) if at not in inside]
    along = dict(zip(walked, _along([where[at] for at in walked]), strict=True))
    return [
        _on_loop(along[at]) if at in along else _in_cab(inside.index(at), len(inside))
        for at in range(len(stations))
    ]


def _place(name: str) -> float | None:
    words = name.split("-")
    end = next((word for word in ("front", "rear") if word in words), "")
    side = next((word for word in ("left", "right") if word in words), "")
    return CORNERS.get((end, side))


def _along(places: list[float | None]) -> list[float]:
    """Return distances along the loop, clockwise from the front left corner."""
    known = [at for at, place in enumerate(places) if place is not None]
    if not known:
        return [LENGTH * at / len(places) for at in range(len(places))]
    way = _way([place for place in places if place is not None])
    spread = {at: _beside(places, at, way) for at in known}
    return [
        spread[at] if at in spread else _between(spread, at, len(places), way)
        for at in range(len(places))
    ]


def _way(places: list[float]) -> int:
    """Return 1 for a walk that goes clockwise, -1 for one that goes the other way."""
    ahead = [(after - before) % LENGTH for before, after in zip(places, places[1:], strict=False)]
    return -1 if sum(0 < step < LENGTH / 2 for step in ahead) * 2 < sum(map(bool, ahead)) else 1


def _beside(places: list[float | None], at: int, way: int) -> float:
    same = [other for other, place in enumerate(places) if place == places[at]]
    return (places[at] or 0) + way * STEP * (same.index(at) - (len(same) - 1) / 2)


def _between(spread: dict[int, float], at: int, count: int, way: int) -> float:
    before = max((known for known in spread if known < at), default=max(spread) - count)
    after = min((known for known in spread if known > at), default=min(spread) + count)
    start = spread[before % count]
    gap = (way * (spread[after % count] - start)) % LENGTH or LENGTH
    return start + way * gap * (at - before) / (after - before)


def _on_loop(distance: float) -> Bead:
    rest = distance % LENGTH
    for length, x, y, across, down in (
        (WIDTH, LEFT, TOP, 1, 0),
        (HEIGHT, LEFT + WIDTH, TOP, 0, 1),
        (WIDTH, LEFT + WIDTH, TOP + HEIGHT, -1, 0),
    ):
        if rest <= length:
            return Bead(x + across * rest, y + down * rest)
        rest -= length
    return Bead(LEFT, TOP + HEIGHT - rest)


def _in_cab(nth: int, count: int) -> Bead:
    return Bead(LEFT + WIDTH / 2, TOP + HEIGHT / 2 + STEP * (nth - (count - 1) / 2))
