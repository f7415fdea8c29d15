"""Which walk-arounds were far quicker than their checklist takes."""

from walkaround.rules.instant import MINUTE

FAR = 2  # times quicker than the list's own guide


def is_quick(started_at: int, made_at: int, guide_minutes: int | None) -> bool:
    """Say whether so little time was taken that a supervisor wants to know."""
    if guide_minutes is None:
        return False
    return (made_at - started_at) * FAR < guide_minutes * MINUTE
