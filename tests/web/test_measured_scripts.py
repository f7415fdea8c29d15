"""Numbers as scripts turn and doubt them, against the rules that the office goes by."""

import random
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import permutations

import pytest
from flask import Flask, g
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests.scripts import Scripts
from walkaround.rules import reading
from walkaround.rules.instant import HOUR
from walkaround.rules.quantity import UNITS, exact
from walkaround.rules.scale import Scale, scale
from walkaround.web.measured import asked

PAIRS = [
    (own, shown) for own, shown in permutations(UNITS.values(), 2) if own.quantity == shown.quantity
]
ONCE = settings(max_examples=40, deadline=None, database=None, phases=[Phase.generate])
SEEDS = st.integers(0, 2**32 - 1)


@pytest.fixture
def words(app: Flask) -> Iterator[None]:
    """A page in English, for what it says of a number."""
    with app.test_request_context():
        g.language = "en"
        yield


@pytest.mark.usefixtures("words")
@pytest.mark.parametrize("pair", PAIRS, ids=lambda units: f"{units[0].name} as {units[1].name}")
def test_a_script_turns_a_number_to_the_same_side_and_it_shows_again_unchanged(
    scripts: Scripts, pair
):
    own, wanted = pair

    @ONCE
    @given(SEEDS)
    def turns(seed: int) -> None:
        chance = random.Random(seed)
        made = some_scale(chance, own.name, own.quantity, wanted.name)
        typed = [float(one) for one in numbers(chance, made)]
        stored = asked(made).stored
        turned = scripts.call(*(("walk-body", "inListUnit", one, stored) for one in typed))
        for one, value in zip(typed, turned, strict=True):
            assert side(value, made) == side(made.stored(one), made), (made, one, value)
            assert made.shown(value) == Decimal(str(one)), (made, one, value)

    turns()


def test_a_script_doubts_the_readings_of_the_hour_meter_that_the_office_doubts(scripts: Scripts):
    @ONCE
    @given(SEEDS)
    def doubts(seed: int) -> None:
        chance = random.Random(seed)
        cases = [some_reading(chance) for _ in range(50)]
        calls = [
            ("hours", "strange", v, {"hours": h, "hoursAt": at}, now) for v, h, at, now in cases
        ]
        for case, said in zip(cases, scripts.call(*calls), strict=True):
            assert said == (reading.strange(*case) or ""), case

    doubts()


def some_scale(chance: random.Random, own: str, quantity: str, wanted: str) -> Scale:
    """Return how an item is shown whose limits lie anywhere, one of them perhaps nowhere."""
    low = round(chance.uniform(-40, 500), chance.choice([0, 1, 2]))
    high = round(low + chance.uniform(0.5, 300), chance.choice([0, 1, 2]))
    limits = chance.choice([(low, high), (low, None), (None, high), (None, None)])
    return scale(own, *limits, {quantity: wanted})


def numbers(chance: random.Random, made: Scale) -> Iterator[Fraction]:
    """Yield numbers that a person may type there: all about the limits, and anything else."""
    step = Fraction(1, 10**made.digits)
    for limit in made.limits:
        if limit is not None:
            yield from (round(limit, made.digits) + step * place for place in range(-3, 4))
    yield from (step * chance.randrange(-5000, 60_000) for _ in range(10))


def side(value: float, made: Scale) -> int:
    low, high = made.listed
    if low is not None and exact(value) < low:
        return -1
    return int(high is not None and exact(value) > high)


def some_reading(chance: random.Random) -> tuple[float, float | None, int, int]:
    """Return a reading, the one before, when that was, and now: often just at what can be."""
    standing, at = round(chance.uniform(0, 20_000), 1), chance.randrange(2**41)
    passed = chance.choice([0, 0.1, 0.5, 1, 8, 24, -3, chance.uniform(0, 500)])
    now = at + round(passed * HOUR)
    edge = standing + max(passed, 0) + chance.choice([0, reading.ALLOWANCE])
    value = chance.choice([standing, edge, round(edge, 1), edge + 0.1, standing - 0.1, 0.0])
    return value, chance.choice([standing, standing, standing, None]), at, now
