"""Numbers as people type them."""

import math
import re

_AMOUNT = re.compile(r"[+-]?\d{1,12}([.,]\d{1,6})?", re.ASCII)


def amount(typed: str) -> float:
    """Return the number that was typed, with a point or a comma; raise ValueError."""
    text = "".join(typed.split())
    if not _AMOUNT.fullmatch(text):
        raise ValueError(f"{typed!r} is not a number")
    value = float(text.replace(",", "."))
    assert math.isfinite(value)
    return value
