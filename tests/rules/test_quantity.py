"""Units against their published definitions and tables."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkaround.rules import quantity
from walkaround.rules.quantity import SI, UNITS, in_si

# NIST Special Publication 811 (2008), appendix B.8: factors to SI, rounded there to seven digits;
# the inch (B.8: 2.54 E-02 m) and the degree Fahrenheit (B.8: (t - 32)/1.8) exactly.
NIST = [
    ("psi", 1, "kPa", 6.894757),
    ("bar", 1, "kPa", 100),
    ("1/32 in", 32, "mm", 25.4),
    ("°F", 32, "°C", 0),
    ("°F", 212, "°C", 100),
]


@pytest.mark.parametrize(("unit", "value", "si", "published"), NIST)
def test_units_agree_with_the_published_factors(unit: str, value: float, si: str, published: float):
    found, name = in_si(value, unit)

    assert name == si
    assert math.isclose(found, published, rel_tol=1e-7, abs_tol=1e-12)


def test_units_are_what_they_are_defined_to_be():
    # SI Brochure (9th ed.), table 8: 1 bar = 100 kPa. Pound, inch, gravity: NIST SP 811.
    assert UNITS["bar"].si(Fraction(1)) == 100
    assert UNITS["1/32 in"].si(Fraction(1)) == Fraction("0.79375")
    assert in_si(1, "psi") == (6.894757293168361, "kPa")
    # -40 is the one temperature that both scales call alike: from (t - 32)/1.8.
    assert in_si(-40, "°F") == (-40, "°C")
    assert in_si(14, "°F") == (-10, "°C")


def test_each_quantity_has_one_unit_of_si_that_stays_as_it_is():
    assert SI == {"pressure": "kPa", "length": "mm", "temperature": "°C"}
    for name in SI.values():
        assert in_si(3.1, name) == (3.1, name)


@pytest.mark.parametrize("unit", ["%", "marks", "PSI", ""])
def test_what_has_no_kin_is_left_alone(unit: str):
    assert in_si(3.1, unit) == (3.1, unit)


@given(st.sampled_from(list(UNITS.values())), st.fractions())
def test_there_and_back_again_is_exact(unit: quantity.Unit, value: Fraction):
    assert unit.of_si(unit.si(value)) == value


@pytest.mark.parametrize(
    ("kind", "name", "fits"),
    [
        ("pressure", "psi", True),
        ("pressure", "mm", False),
        ("length", "1/32 in", True),
        ("temperature", "F", True),
        ("temperature", "°F", True),
        ("temperature", "K", False),
    ],
)
def test_a_unit_measures_its_own_quantity(kind: str, name: str, fits: bool):
    assert quantity.is_unit(kind, name) is fits


def test_a_temperature_may_be_named_without_its_sign():
    assert [quantity.called(name) for name in ("C", "F", "°C", "psi")] == ["°C", "°F", "°C", "psi"]
