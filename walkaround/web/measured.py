"""Measured values and their limits, in the units and the manner in which a site reads them."""

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from babel.numbers import format_decimal
from flask import g

from walkaround.rules.checklist import Item
from walkaround.rules.quantity import UNITS, Preferred
from walkaround.rules.scale import Scale, scale
from walkaround.store import settings
from walkaround.web.language import say, say_number

# A unit that is a part of another: without the stroke, 13 of them read like thirteen inches more.
PARTS = {"1/32 in": ("/32", "in")}


@dataclass(frozen=True)
class MeasureWords:
    """What the page says of a number that it asks for."""

    unit: str
    limits: str
    low: str  # as a script reads it
    high: str
    digits: str  # how many decimals are taken, where not all are
    too_fine: str
    signed: bool  # whether a number below zero may be read there
    stored: dict[str, float | int | None]  # how a script turns it into the list's own unit


def preferred() -> Preferred:
    """Return the units of the site."""
    return settings.units(g.db)


def written(units: Preferred) -> str:
    """Return units as a form carries them: what was typed stays in them, whatever is set later."""
    return ",".join(units.values())


def read(text: str) -> Preferred:
    """Return the units that a form carries; a page without any asked in those of the list."""
    known = [UNITS[name] for name in text.split(",") if name in UNITS]
    return {unit.quantity: unit.name for unit in known}


def scale_of(item: Item, units: Preferred) -> Scale | None:
    """Return how a measured item is asked."""
    made = item.measure
    return scale(made.unit, made.low, made.high, units) if made else None


def asked(made: Scale) -> MeasureWords:
    """Return what the page says about a number."""
    part, mark = PARTS.get(made.unit, ("", made.unit))
    return MeasureWords(
        unit=f"{part} {mark}".strip(),
        limits=_limits(made, mark),
        low="" if made.low is None else f"{made.low:f}",
        high="" if made.high is None else f"{made.high:f}",
        digits=str(made.digits) if made.turned else "",
        too_fine=too_fine(made),
        signed=made.unit in ("°C", "°F")
        or any(limit and limit < 0 for limit in (made.low, made.high)),
        stored=_stored(made),
    )


def too_fine(made: Scale) -> str:
    """Return what to do with a number that lies between two steps."""
    return say_number(
        "Give it to 1 decimal at most.", "Give it to %(number)s decimals at most.", made.digits
    )


def value(amount: float, made: Scale) -> str:
    """Return a value of the list's unit with the unit in which it is shown."""
    mark = PARTS.get(made.unit, ("", made.unit))[1]
    return f"{figure(made.shown(amount), made)} {mark}".strip()


def figure(number: Decimal, made: Scale) -> str:
    """Return a number as it is shown, without marks between its thousands: it may be typed so."""
    shape = f"0.{'#' * made.digits}"
    part = PARTS.get(made.unit, ("", ""))[0]
    return format_decimal(number, shape, locale=g.language) + part


def _stored(made: Scale) -> dict[str, float | int | None]:
    """Return factor and offset into the list's unit, its limits, decimals enough for a step, and
    how many of them are taken."""
    low, high = (None if limit is None else float(limit) for limit in made.listed)
    plain: dict[str, float | int | None] = {"low": low, "high": high}
    if not made.turned:
        return plain
    own, shown = UNITS[made.own], UNITS[made.unit]
    offset, one = (own.of_si(shown.si(Fraction(at))) for at in (0, 1))
    factor = one - offset  # exactly, or a number on a limit would come to lie beside it
    digits = max(0, math.ceil(math.log10(10 / (factor / 10**made.digits)))) + 1
    turned = {"factor": float(factor), "offset": float(offset), "digits": digits}
    return {**plain, **turned, "steps": made.digits}


def _limits(made: Scale, mark: str) -> str:
    low = "" if made.low is None else figure(made.low, made)
    high = "" if made.high is None else figure(made.high, made)
    if low and high:
        return say("%(low)s to %(high)s %(unit)s is in order.", low=low, high=high, unit=mark)
    if low:
        return say("At least %(low)s %(unit)s is in order.", low=low, unit=mark)
    if high:
        return say("At most %(high)s %(unit)s is in order.", high=high, unit=mark)
    return say("Only noted, not judged.")
