"""The supervisor's page: which units may work, which are tagged out and why, which nobody saw."""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from flask import Blueprint, Response, g, make_response, render_template, request

from walkaround import clock
from walkaround.rules.instant import MINUTE
from walkaround.rules.quick import is_quick
from walkaround.rules.shift import Shift
from walkaround.rules.verdict import (
    LAID_UP,
    NOT_CHECKED,
    OK_TO_RUN,
    OK_WITH_RESTRICTIONS,
    TAGGED_OUT,
    Reason,
)
from walkaround.store import people, phone_gaps, refused, settings, standings
from walkaround.store.standings import Standing
from walkaround.web import assets, moments, reasons
from walkaround.web.first_steps import Step, steps
from walkaround.web.guards import may
from walkaround.web.language import machine, say, say_number
from walkaround.web.revision import revision

# The bad news on the left.
COLUMNS = ((TAGGED_OUT, NOT_CHECKED), (OK_WITH_RESTRICTIONS, OK_TO_RUN, LAID_UP))
MANY = 60  # units under one plate: from there on those with nothing to say are numbers alone

bp = Blueprint("board", __name__)


@dataclass(frozen=True)
class BoardRow:
    """One unit as the board says it."""

    number: str
    title: str  # the first reason, if there is one
    sub: list[str]
    side: list[str]
    tag: str
    plain: bool  # nothing is to be said of it but its state


@dataclass(frozen=True)
class Group:
    """The units in one state."""

    state: str
    rows: list[BoardRow]
    numbers: list[str]


@bp.get("/board")
@may("supervisor")
def show() -> Response:
    """Show how every unit stands, worst first."""
    now = clock.now()
    found = standings.every(g.db, now)
    names = {one.crew_number: one.name for one in people.persons(g.db, now)}
    shift = settings.site_rules(g.db).roster.at(now)
    first = steps(found, len(names))
    tag = _tag(found, names, shift, now, first)
    if request.if_none_match.contains_weak(tag):
        response = Response(status=304)
    else:
        response = make_response(_page(found, names, shift, tag, first))
    response.set_etag(tag, weak=True)
    return response


def sentence(states: Sequence[str]) -> str:
    """Return the counts in one sentence."""
    if not states:
        return say("There are no units yet.")
    counted = {state: states.count(state) for state in (TAGGED_OUT, NOT_CHECKED, LAID_UP)}
    runs = len(states) - sum(counted.values())
    said = [
        say_number("1 tagged out", "%(number)s tagged out", counted[TAGGED_OUT]),
        say_number("1 not checked", "%(number)s not checked", counted[NOT_CHECKED]),
        say_number("1 may run", "%(number)s may run", runs),
    ]
    if counted[LAID_UP]:
        said.append(say_number("1 laid up", "%(number)s laid up", counted[LAID_UP]))
    return ", ".join(said) + "."


def _page(
    found: list[Standing],
    names: Mapping[str, str],
    shift: Shift | None,
    tag: str,
    first: list[Step],
) -> str:
    return render_template(
        "board/show.html",
        tag=tag,
        sentence=sentence([one.verdict.state for one in found]),
        columns=_columns(found, names),
        shift=shift,
        unseen=sum(_unseen(one) for one in found),
        doubts=len({(one.unit.number, d.about) for one in found for d in one.facts.doubts}),
        refused=refused.count_waiting(g.db),
        phones=len(phone_gaps.lacking(g.db, clock.now())),
        steps=first,
    )


def _tag(
    found: list[Standing],
    names: Mapping[str, str],
    shift: Shift | None,
    now: int,
    first: list[Step],
) -> str:
    """Return what changes whenever the page would; words like `today` change at midnight."""
    day = moments.local(now).date()
    lacking = len(phone_gaps.lacking(g.db, now))
    seen = (revision(g.db, found), shift, day, sorted(names.items()), first, lacking)
    reader = (g.language, g.person.crew_number, g.person.roles, assets.digest())
    return hashlib.sha256(repr((seen, reader)).encode()).hexdigest()[:32]


def _columns(found: list[Standing], names: Mapping[str, str]) -> list[list[Group]]:
    """Return the columns of plates that have units, each with its rows."""
    groups: dict[str, list[BoardRow]] = {}
    for one in sorted(found, key=lambda one: (not _deadly(one), one.unit.number)):
        groups.setdefault(one.verdict.state, []).append(_row(one, names))
    columns = [
        [_group(state, groups[state]) for state in states if state in groups] for states in COLUMNS
    ]
    return [column for column in columns if column]


def _group(state: str, rows: list[BoardRow]) -> Group:
    if len(rows) <= MANY:
        return Group(state, rows, [])
    told = [row for row in rows if not row.plain]
    return Group(state, told, [row.number for row in rows if row.plain])


def _deadly(standing: Standing) -> bool:
    return any(line.critical for line in standing.lines)


def _unseen(standing: Standing) -> bool:
    codes = {reason.code for reason in standing.verdict.reasons}
    return "not_walked" in codes and "laid_up" not in codes


def _row(standing: Standing, names: Mapping[str, str]) -> BoardRow:
    found = standing.verdict.reasons
    first, *others = [_reason(reason, standing, names) for reason in found] or [""]
    tag = _quick(standing)
    return BoardRow(
        number=standing.unit.number,
        title=first,
        sub=[*others, _about(standing)],
        side=[*_walked(standing, names), _until(standing)],
        tag=tag,
        plain=not tag and {reason.code for reason in found} <= {"not_walked"},
    )


def _reason(reason: Reason, standing: Standing, names: Mapping[str, str]) -> str:
    """Return a reason in words; what a supervisor decided says who and when."""
    said = reasons.text(reason, standing, g.language)
    decided = [h for h in standing.facts.holds if h.id in (reason.hold, reason.lay_up)]
    for hold in decided:
        who = names.get(hold.by or "", hold.by or "")
        return f"{said} ({who}, {moments.moment(hold.made_at)})"
    return said


def _about(standing: Standing) -> str:
    unit = standing.unit
    said = [machine(unit.title)]
    if unit.machine.lower() not in unit.title.lower():
        said.append(machine(unit.machine))
    if standing.hours is not None:
        said.append(f"{moments.number(standing.hours)} h")
    return ", ".join(said)


def _walked(standing: Standing, names: Mapping[str, str]) -> list[str]:
    walk = standing.verdict.walked or standing.last
    if walk is None:
        return [say("never walked")]
    who, when = names.get(walk.by or "", walk.by or ""), moments.moment(walk.made_at)
    if standing.verdict.walked:
        return [say("walked %(when)s", when=when), who]
    return [say("last walked %(when)s", when=when), who]


def _until(standing: Standing) -> str:
    until = standing.verdict.valid_until
    return "" if until is None else say("until %(when)s", when=moments.moment(until))


def _quick(standing: Standing) -> str:
    walk = standing.verdict.walked
    known = walk and standing.facts.ground.lists.find(walk.checklist, walk.version)
    if not walk or not known or not is_quick(walk.started_at, walk.made_at, known.guide_minutes):
        return ""
    minutes = (walk.made_at - walk.started_at) // MINUTE
    return say_number(
        "quick: 1 min of %(guide)s",
        "quick: %(number)s min of %(guide)s",
        minutes,
        guide=known.guide_minutes,
    )
