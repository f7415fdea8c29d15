"""How a measured item is shown and typed in the unit that a site prefers, with honest limits."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from walkaround.rules.quantity import UNITS, Preferred, Unit, exact

MOST_DIGITS = 6  # as many as anybody can type
FINER = 4  # how often a step may be divided by ten, before an item stays in its own unit

Limits = tuple[Fraction | None, Fraction | None]


@dataclass(frozen=True, slots=True)
class Scale:
    """One measured item in one unit, to so many decimals.

    Its limits lie on a step that is shown, inside those of the list: a number on a step is in
    order by the list if, and only if, it lies on or between them.
    """

    own: str  # the list's unit, which entries keep
    unit: str
    digits: int
    listed: Limits  # in the list's unit
    limits: Limits  # as they are shown

    @property
    def low(self) -> Decimal | None:
        """Return the lower limit as it is shown."""
        return None if self.limits[0] is None else self._decimal(self.limits[0])

    @property
    def high(self) -> Decimal | None:
        """Return the upper limit as it is shown."""
        return None if self.limits[1] is None else self._decimal(self.limits[1])

    @property
    def turned(self) -> bool:
        """Say whether it is shown in another unit than the list's own."""
        return self.unit != self.own

    def takes(self, typed: float) -> bool:
        """Say whether a number lies on a step; in the list's own unit every number is taken."""
        return not self.turned or (exact(typed) * 10**self.digits).denominator == 1

    def shown(self, value: float) -> Decimal:
        """Return a value of the list's unit as it is shown, on that side of the limits it is on."""
        given = exact(value)
        nearest = round(self.turn(given), self.digits)
        step = Fraction(1, 10**self.digits)
        for listed, limit, sign in zip(self.listed, self.limits, (1, -1), strict=True):
            if listed is None or limit is None:
                continue
            outside = given * sign < listed * sign
            # Rounded, it may have come to lie on the other side: 299.96 is not 300.
            if outside and nearest * sign >= limit * sign:
                nearest = limit - step * sign
            elif not outside and nearest * sign < limit * sign:
                nearest = limit
        return self._decimal(nearest)

    def stored(self, typed: float) -> float:
        """Return in the list's unit what was typed: as few decimals as show it again unchanged."""
        if not self.turned:
            return typed
        own, wanted = UNITS[self.own], UNITS[self.unit]
        meant = own.of_si(wanted.si(exact(typed)))
        step = wanted.factor / own.factor / 10**self.digits
        for digits in range(max(0, math.ceil(math.log10(10 / step))), 16):
            value = float(round(meant, digits))
            if self.shown(value) == self._decimal(exact(typed)):
                return value
        return float(meant)

    def turn(self, value: Fraction) -> Fraction:
        """Return in the unit that is shown what is a value in the list's."""
        if not self.turned:
            return value
        return UNITS[self.unit].of_si(UNITS[self.own].si(value))

    def _decimal(self, value: Fraction) -> Decimal:
        return Decimal(round(value * 10**self.digits)).scaleb(-self.digits).normalize()


def scale(unit: str, low: float | None, high: float | None, preferred: Preferred) -> Scale:
    """Return how an item whose list says this is shown."""
    listed = (None if low is None else exact(low), None if high is None else exact(high))
    own = UNITS.get(unit)
    wanted = UNITS.get(preferred.get(own.quantity, "")) if own else None
    if own and wanted and wanted is not own:
        for one in _ever_finer(own, wanted, listed):
            if not _is_coarse(one):
                return one
    fits = (d for d in range(MOST_DIGITS, 16) if all(_on_step(limit, d) for limit in listed))
    return Scale(unit, unit, next(fits, 16), listed, listed)


def _ever_finer(own: Unit, wanted: Unit, listed: Limits) -> Iterator[Scale]:
    """Yield scales whose limits are rounded inward, to more and more decimals."""
    low, high = (None if one is None else wanted.of_si(own.si(one)) for one in listed)
    for digits in range(wanted.digits, wanted.digits + FINER):
        steps = 10**digits
        inward = (
            None if low is None else Fraction(math.ceil(low * steps), steps),
            None if high is None else Fraction(math.floor(high * steps), steps),
        )
        yield Scale(own.name, wanted.name, digits, listed, inward)


def _is_coarse(made: Scale) -> bool:
    """Say whether rounding takes more than a hundredth of a limit, or a tenth of the room between.

    Limits that stand close together may leave no step between them at all.
    """
    found = [
        (limit, made.turn(listed))
        for listed, limit in zip(made.listed, made.limits, strict=True)
        if listed is not None and limit is not None
    ]
    if any(abs(limit - meant) * 100 > abs(meant) for limit, meant in found):
        return True
    if len(found) < 2:
        return False
    (low, meant_low), (high, meant_high) = found
    return (high - low) * 10 < (meant_high - meant_low) * 9


def _on_step(limit: Fraction | None, digits: int) -> bool:
    return limit is None or (limit * 10**digits).denominator == 1
