"""The one place that asks what time it is."""

import time


def now() -> int:
    """Return this instant as UTC milliseconds."""
    return time.time_ns() // 1_000_000
