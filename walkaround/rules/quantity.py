"""Units of measure that are turned into each other, exactly as they are defined."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

# SI Brochure and NIST SP 811, appendix B: the pound is 0.45359237 kg, standard gravity
# 9.80665 m/s2, the inch 25.4 mm; newtons on a square millimetre are megapascals.
INCH = Fraction("25.4")
POUND_FORCE = Fraction("0.45359237") * Fraction("9.80665")

Preferred = Mapping[str, str]  # the unit that is wanted for each quantity


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: a value in SI is the value in it times its factor, plus its offset."""

    name: str
    quantity: str
    factor: Fraction
    digits: int  # decimals that are shown and typed where a value is turned into it
    offset: Fraction = Fraction(0)

    def si(self, value: Fraction) -> Fraction:
        """Return in SI what is a value in this unit."""
        return value * self.factor + self.offset

    def of_si(self, value: Fraction) -> Fraction:
        """Return in this unit what is a value in SI."""
        return (value - self.offset) / self.factor


# The first of each quantity is the one of SI: what pages use unless set, and what rows hold.
UNITS = {
    unit.name: unit
    for unit in (
        Unit("kPa", "pressure", Fraction(1), 1),
        Unit("bar", "pressure", Fraction(100), 2),
        Unit("psi", "pressure", 1000 * POUND_FORCE / INCH**2, 1),
        Unit("mm", "length", Fraction(1), 2),
        Unit("1/32 in", "length", INCH / 32, 1),
        Unit("°C", "temperature", Fraction(1), 1),
        Unit("°F", "temperature", Fraction(5, 9), 1, Fraction(-160, 9)),
    )
}
SI: Preferred = {unit.quantity: unit.name for unit in reversed(UNITS.values())}
_WITHOUT_SIGN = {"C": "°C", "F": "°F"}  # few keyboards have a key for the sign


def called(name: str) -> str:
    """Return the name of a unit as it is written."""
    return _WITHOUT_SIGN.get(name, name)


def is_unit(quantity: str, name: str) -> bool:
    """Say whether a unit of that name measures the quantity."""
    return called(name) in UNITS and UNITS[called(name)].quantity == quantity


def in_si(value: float, name: str) -> tuple[float, str]:
    """Return a value in the unit of SI, and that unit; others (%, marks) stay as they are."""
    if (unit := UNITS.get(name)) is None:
        return value, name
    return float(unit.si(exact(value))), SI[unit.quantity]


def exact(value: float) -> Fraction:
    """Return the decimal number that was written: 3.1 is 31/10, not the nearest binary one."""
    return Fraction(repr(value))
