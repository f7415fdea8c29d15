"""May this unit run, now, and why."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from walkaround.rules import defect as defects
from walkaround.rules.coverage import (
    COVERS,
    CUT_SHORT,
    NOT_WALKED,
    UNCONFIRMED,
    Ground,
    Seen,
    Walk,
    look,
)
from walkaround.rules.defect import DEFERRED, OPEN, OVER, Defect
from walkaround.rules.meter import Meter

LAID_UP, TAGGED_OUT, NOT_CHECKED = "laid_up", "tagged_out", "not_checked"
OK_WITH_RESTRICTIONS, OK_TO_RUN = "ok_with_restrictions", "ok_to_run"
STATES = (LAID_UP, TAGGED_OUT, NOT_CHECKED, OK_WITH_RESTRICTIONS, OK_TO_RUN)

# Which state a reason brings about, blocking ones first.
STATE_OF = {
    "laid_up": LAID_UP,
    "defect": TAGGED_OUT,
    "hold": TAGGED_OUT,
    "deferral_over": TAGGED_OUT,
    "service_overdue": TAGGED_OUT,
    CUT_SHORT: NOT_CHECKED,
    UNCONFIRMED: NOT_CHECKED,
    NOT_WALKED: NOT_CHECKED,
    "doubt": NOT_CHECKED,
    "second_look": NOT_CHECKED,
    "deferred": OK_WITH_RESTRICTIONS,
}
_ORDER = {code: place for place, code in enumerate(STATE_OF)}


@dataclass(frozen=True)
class Hold:
    """A hold or a lay-up, and what ended it."""

    id: str
    kind: str
    by: str | None
    made_at: int
    reason: str
    ended_by: str | None = None


@dataclass(frozen=True)
class Doubt:
    """Something that contradicts what stands or could not be read, and what settled it."""

    id: str
    about: str
    why: str
    made_at: int
    settled_by: str | None = None


@dataclass(frozen=True)
class Facts:
    """What stands about one unit; endings have done their work already."""

    ground: Ground
    defects: tuple[Defect, ...] = ()
    holds: tuple[Hold, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    walks: tuple[Walk, ...] = ()
    meter: Meter = field(default_factory=Meter)


@dataclass(frozen=True)
class Reason:
    """One thing that decides; `defects` are the ids that it speaks of."""

    code: str
    item: str | None = None
    defects: tuple[str, ...] = ()
    hold: str | None = None
    lay_up: str | None = None
    about: str | None = None
    until: int | None = None


@dataclass(frozen=True)
class Verdict:
    """May the unit run; null `valid_until` unless it may."""

    state: str
    reasons: tuple[Reason, ...]
    valid_until: int | None
    walked: Walk | None

    @property
    def may_run(self) -> bool:
        """Say whether the unit may run."""
        return self.state in (OK_TO_RUN, OK_WITH_RESTRICTIONS)


def verdict(facts: Facts, now: int) -> Verdict:
    """Return the verdict at an instant: the first state that any reason brings about."""
    seen = look(facts.walks, facts.ground, now)
    covering = [one for one in seen if one.worth == COVERS]
    found = [*_of_holds(facts), *_of_defects(facts, now), *_of_walks(seen), *_of_doubts(facts)]
    reasons = sorted([*found, *_of_looks(facts)], key=lambda reason: _ORDER[reason.code])
    state = STATE_OF[reasons[0].code] if reasons else OK_TO_RUN
    runs = state in (OK_TO_RUN, OK_WITH_RESTRICTIONS)
    return Verdict(
        state=state,
        reasons=tuple(reasons),
        valid_until=_until(covering, reasons) if runs else None,
        walked=covering[-1].walk if covering else None,
    )


def _of_holds(facts: Facts) -> Iterator[Reason]:
    for hold in facts.holds:
        if hold.ended_by:
            continue
        if hold.kind == "lay_up":
            yield Reason("laid_up", lay_up=hold.id)
        else:
            yield Reason("hold", hold=hold.id)


def _of_defects(facts: Facts, now: int) -> Iterator[Reason]:
    """Return a reason for each line of defects and each way in which some of it stand."""
    states = defects.states(facts.defects, now, facts.meter)
    lines: dict[tuple[str, str], list[Defect]] = defaultdict(list)
    for defect in facts.defects:
        lines[states[defect.id], defect.line].append(defect)
    worst = sorted(lines, key=lambda key: (not any(d.critical for d in lines[key]), key[1]))
    codes = {OPEN: "defect", OVER: "deferral_over", DEFERRED: "deferred"}
    for state, line in worst:
        if state in codes:
            found = sorted(lines[state, line], key=lambda defect: (defect.made_at, defect.id))
            deferrals = [defect.deferral for defect in found if defect.deferral]
            ends = [one.until for one in deferrals if one.in_force(now, facts.meter)]
            yield Reason(
                codes[state],
                item=found[0].failure.item,
                defects=tuple(defect.id for defect in found),
                until=min(ends, default=None),
            )


def _of_walks(seen: Iterable[Seen]) -> Iterator[Reason]:
    """Return why no walk covers now, if none does."""
    worth = {one.worth for one in seen}
    if COVERS not in worth:
        for code in sorted(worth) or [NOT_WALKED]:
            yield Reason(code)


def _of_doubts(facts: Facts) -> Iterator[Reason]:
    for about in dict.fromkeys(doubt.about for doubt in facts.doubts if not doubt.settled_by):
        yield Reason("doubt", about=about)


def _of_looks(facts: Facts) -> Iterator[Reason]:
    """Return the repairs of critical defects that nobody else has looked at again."""
    since = facts.ground.site.second_look_since
    due: dict[str, list[str]] = defaultdict(list)
    for defect in facts.defects:
        if since is not None and defect.ended and not defect.looked and defect.asked_at >= since:
            due[defect.ended[0]].append(defect.id)
    for clear, ids in due.items():
        yield Reason("second_look", defects=tuple(ids), about=clear)


def _until(covering: Iterable[Seen], reasons: Iterable[Reason]) -> int:
    """Return the soonest of the end of what is covered and the ends of deferrals."""
    covered = max(seen.shift.end for seen in covering if seen.shift)
    return min([covered, *(reason.until for reason in reasons if reason.until is not None)])
