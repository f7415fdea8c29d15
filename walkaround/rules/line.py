"""Defects on the same item of one unit, as the one line that pages and programs show."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from walkaround.rules.defect import CLEARED, DEFERRED, OPEN, OVER, Defect, Deferral, states
from walkaround.rules.meter import Meter

_STRICTEST = {OPEN: 0, OVER: 0, DEFERRED: 1}


@dataclass(frozen=True)
class Line:
    """A line of defects; `state` is the strictest among them: open or deferred."""

    item: str | None
    critical: bool
    state: str
    over: bool  # open because a deferral has run out
    defects: tuple[Defect, ...]
    deferral: Deferral | None

    @property
    def since(self) -> int:
        """Return when the first of them was found."""
        return self.defects[0].made_at

    @property
    def ids(self) -> tuple[str, ...]:
        """Return the ids that one tap ends."""
        return tuple(defect.id for defect in self.defects)


def lines(defects: Iterable[Defect], now: int, meter: Meter) -> list[Line]:
    """Return the lines of what is not cleared, worst and oldest first."""
    found: dict[str, list[Defect]] = defaultdict(list)
    state = states(defects := tuple(defects), now, meter)
    for defect in sorted(defects, key=lambda one: (one.made_at, one.id)):
        if state[defect.id] != CLEARED:
            found[defect.line].append(defect)
    made = [_line(together, [state[d.id] for d in together]) for together in found.values()]
    return sorted(made, key=lambda line: (_STRICTEST[line.state], not line.critical, line.since))


def _line(together: list[Defect], state: list[str]) -> Line:
    worst = min(state, key=lambda one: _STRICTEST[one])
    deferrals = [defect.deferral for defect in together if defect.deferral]
    return Line(
        item=together[0].failure.item,
        critical=any(defect.critical for defect in together),
        state=DEFERRED if worst == DEFERRED else OPEN,
        over=OVER in state,
        defects=tuple(together),
        deferral=max(deferrals, key=lambda one: (one.since, -one.until)) if deferrals else None,
    )
