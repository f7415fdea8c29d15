"""What is shown as a limit is honest, and what is typed comes back as it was."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from walkaround.rules.checklist import Measure
from walkaround.rules.quantity import UNITS
from walkaround.rules.scale import Scale, scale

US = {"pressure": "psi", "length": "1/32 in", "temperature": "°F"}
METRIC = {"pressure": "bar", "length": "mm", "temperature": "°C"}

PAIRS = [
    (own, wanted)
    for own in UNITS.values()
    for wanted in UNITS.values()
    if own.quantity == wanted.quantity
]
# As a list may have them: decimals as people write them, also tiny, negative and far apart.
WRITTEN = st.decimals(-2000, 20000, allow_nan=False, places=3).map(float)
LIMITS = st.tuples(st.none() | WRITTEN, st.none() | WRITTEN).filter(
    lambda two: None in two or two[0] <= two[1]
)
ANY_VALUE = st.floats(-1e6, 1e6, allow_nan=False)


@st.composite
def scales(draw: st.DrawFn) -> tuple[Scale, Measure]:
    """Return an item with limits, as its list has it and as a site sees it."""
    own, wanted = draw(st.sampled_from(PAIRS))
    low, high = draw(LIMITS)
    made = scale(own.name, low, high, {own.quantity: wanted.name})
    return made, Measure(own.quantity, own.name, low, high, None)


def near(made: Scale, steps: int, fallback: float) -> float:
    """Return a number on a step so many steps from a limit that is shown, or from nought."""
    limits = [limit for limit in made.limits if limit is not None]
    start = limits[steps % len(limits)] if limits else Fraction(round(fallback))
    return float(start + Fraction(steps, 10**made.digits))


def is_outside(typed: float, made: Scale) -> bool:
    """Say what a reader of the page makes of a number: it is beyond a limit that stands there."""
    number = Decimal(repr(typed))
    return (made.low is not None and number < made.low) or (
        made.high is not None and number > made.high
    )


def test_limits_are_rounded_inward():
    # 300 kPa are 43.5113 psi and 400 kPa 58.0151 psi by the factor of NIST SP 811.
    made = scale("kPa", 300, 400, US)

    assert (made.low, made.high) == (Decimal("43.6"), Decimal("58.0"))


@pytest.mark.parametrize(
    ("unit", "low", "high", "preferred", "shown"),
    [
        ("kPa", 300, 400, METRIC, ("bar", 3, 4)),
        ("psi", 45, 60, METRIC, ("bar", Decimal("3.11"), Decimal("4.13"))),  # 3.10264, 4.13685
        ("mm", 10, None, US, ("1/32 in", Decimal("12.6"), None)),  # 10/0.79375 = 12.598
        ("1/32 in", 2, None, METRIC, ("mm", Decimal("1.59"), None)),  # 1.5875
        ("°C", None, 90, US, ("°F", None, 194)),
        ("°F", 100, None, METRIC, ("°C", Decimal("37.8"), None)),  # 37.777...
        ("%", 10, 100, US, ("%", 10, 100)),
        ("marks", 1, None, US, ("marks", 1, None)),
    ],
)
def test_limits_in_the_unit_of_the_site(unit, low, high, preferred, shown):
    made = scale(unit, low, high, preferred)

    assert (made.unit, made.low, made.high) == shown


def test_small_limits_are_shown_to_more_decimals():
    # 10 kPa are 1.4504 psi: 1.5 would take four hundredths more than the list does.
    assert scale("kPa", 10, None, US).low == Decimal("1.46")


def test_limits_without_a_step_between_them_stay_in_the_unit_of_the_list():
    made = scale("kPa", 350, 350, US)

    assert (made.unit, made.low, made.high) == ("kPa", 350, 350)
    assert made.stored(350) == 350


def test_a_value_beside_a_limit_does_not_seem_to_lie_on_its_other_side():
    made = scale("kPa", 300, 400, {})

    assert made.shown(299.99999999) == Decimal("299.999999")
    assert made.shown(300.00000001) == 300
    assert scale("kPa", 300, 400, US).shown(300.1) == Decimal("43.6")  # 43.526: in order
    assert scale("kPa", 302, 400, US).shown(301.9) == Decimal("43.8")  # 43.787: not 43.9


def test_few_decimals_are_stored():
    made = scale("kPa", 300, 400, US)

    assert made.stored(43.5) == 299.92
    assert made.stored(50) == 344.74


def test_a_number_finer_than_a_step_is_taken_only_in_the_unit_of_the_list():
    assert not scale("kPa", 300, 400, US).takes(43.55)
    assert scale("kPa", 300, 400, US).takes(43.5)
    assert scale("kPa", 300, 400, METRIC).takes(3.25)
    assert scale("kPa", 300, 400, {"pressure": "kPa"}).takes(343.123456)


@given(scales(), st.integers(-30, 30), st.integers(-5000, 5000))
def test_a_number_is_in_order_if_and_only_if_it_is_on_or_inside_what_is_shown(
    drawn: tuple[Scale, Measure], steps: int, fallback: int
):
    made, measure = drawn
    typed = near(made, steps, fallback)
    assume(made.takes(typed))

    judged = measure.judge(made.stored(typed))

    assert (judged is not None) == is_outside(typed, made)


@given(scales(), st.integers(-30, 30), st.integers(-5000, 5000))
def test_what_was_typed_is_shown_again(drawn: tuple[Scale, Measure], steps: int, fallback: int):
    made, _ = drawn
    typed = near(made, steps, fallback)
    assume(made.takes(typed))

    assert made.shown(made.stored(typed)) == Decimal(repr(typed))


@given(scales(), ANY_VALUE, st.integers(-3, 3))
def test_what_is_shown_of_any_value_agrees_with_its_judgement(
    drawn: tuple[Scale, Measure], value: float, hairs: int
):
    made, measure = drawn
    limits = [limit for limit in (measure.low, measure.high) if limit is not None]
    given_value = limits[hairs % len(limits)] + hairs * 1e-9 if limits and hairs else value

    seen = made.shown(given_value)

    assert (measure.judge(given_value) is not None) == is_outside(float(seen), made)
    assert abs(Fraction(seen) - made.turn(Fraction(repr(given_value)))) <= Fraction(
        1, 10**made.digits
    )
