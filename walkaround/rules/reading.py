"""Whether an hour-meter reading can be: not lower than before, not more hours than have passed."""

from walkaround.rules.instant import HOUR

ALLOWANCE = 1.0  # hours: meters are read in whole hours here and in tenths there
LOWER, FASTER = "lower", "faster"


def strange(value: float, standing: float | None, since: int, now: int) -> str | None:
    """Return why a reading cannot be, after one of `standing` hours at `since`; else None."""
    if standing is None:
        return None
    if value < standing:
        return LOWER
    passed = max(now - since, 0) / HOUR
    return FASTER if value > standing + passed + ALLOWANCE else None
