"""Units: the list of them, and the page of each."""

from flask import Blueprint, g, redirect, render_template, request, url_for
from werkzeug.exceptions import NotFound
from werkzeug.wrappers import Response

from walkaround import clock
from walkaround.rules.coverage import COVERS, Walk, look
from walkaround.rules.refusal import N_
from walkaround.store import checklists, standings, units
from walkaround.store.standings import Standing
from walkaround.web import moments
from walkaround.web.guards import signed_in
from walkaround.web.language import say
from walkaround.web.lines import lines_of, who
from walkaround.web.reasons import text

OCCASIONS = {
    "start_of_shift": N_("Start of shift"),
    "end_of_shift": N_("End of shift"),
    "attachment_change": N_("After a change of attachment"),
    "after_repair": N_("After a repair"),
}

bp = Blueprint("units", __name__)


@bp.get("/units")
@signed_in
def index() -> Response | str | tuple[str, int]:
    """Show all units, and lead to the one whose number was typed."""
    wanted = request.args.get("number", "").strip()
    found = standings.every(g.db, clock.now())
    if number := _meant(wanted, [one.unit.number for one in found]):
        return redirect(url_for("units.show", number=number), code=303)
    error = say("There is no unit %(number)s here.", number=wanted) if wanted else ""
    page = render_template("units/index.html", found=found, wanted=wanted, error=error)
    return page, 404 if error else 200


@bp.get("/units/<number>")
@signed_in
def show(number: str) -> str:
    """Show one unit: may it run, why, and what can be done."""
    standing = standing_of(number)
    return render_template(
        "units/show.html",
        standing=standing,
        unit=standing.unit,
        sentence=sentence(standing),
        why=[text(reason, standing, g.language) for reason in standing.verdict.reasons],
        walked=walked(standing),
        again=walked_by_reader(standing) is not None,
        restrictions=restrictions(standing),
        lines=lines_of(standing),
        occasions=_occasions(standing),
    )


def standing_of(number: str) -> Standing:
    """Return how a unit stands now; 404 for an unknown one."""
    if found := units.find(g.db, number):
        return standings.of(g.db, found, clock.now())
    raise NotFound


def sentence(standing: Standing) -> str | list[str]:
    """Return what to do, as the verdict's plate says it."""
    verdict = standing.verdict
    if verdict.state == "tagged_out":
        return say("Park it, take the key, hang the tag, tell the supervisor.")
    if verdict.state == "not_checked":
        return say("Walk round it before you start it.")
    if verdict.state == "laid_up":
        return say("It is out of the fleet for now. Leave it where it stands.")
    until = [_until(standing)]
    return [*restrictions(standing), *until] if restrictions(standing) else until[0]


def restrictions(standing: Standing) -> list[str]:
    """Return what the unit may not do meanwhile."""
    found = [line.deferral for line in standing.lines if line.state == "deferred" and line.deferral]
    return list(dict.fromkeys(words for one in found for words in one.restrictions))


def walked(standing: Standing) -> str:
    """Return who looked last and when, and whether the reader has."""
    walk = standing.verdict.walked or standing.last
    if walk is None:
        return say("Nobody has walked round it yet.")
    if standing.verdict.walked is None:
        return _before(walk, standing)
    if mine := walked_by_reader(standing):
        return say("Walked by you at %(time)s.", time=moments.time(mine.made_at))
    at = moments.time(walk.made_at)
    return say("Walked by %(who)s at %(time)s; you have not.", who=who(walk.by), time=at)


def walked_by_reader(standing: Standing) -> Walk | None:
    """Return the reader's own walk that covers now, though others may have walked since."""
    seen = look(standing.facts.walks, standing.facts.ground, standing.now)
    own = [s.walk for s in seen if s.worth == COVERS and s.walk.by == g.person.crew_number]
    return own[-1] if own else None


def _before(walk: Walk, standing: Standing) -> str:
    """Return who walked it last, where that does not cover the present."""
    name = say("you") if walk.by == g.person.crew_number else who(walk.by)
    said = say("Last walked by %(who)s, %(when)s.", who=name, when=moments.moment(walk.made_at))
    start = standing.shift_start(walk)
    if start is not None and start > standing.now:
        said += " " + say("That is for the shift from %(time)s.", time=moments.time(start))
    return said


def _until(standing: Standing) -> str:
    verdict = standing.verdict
    until = moments.moment(verdict.valid_until) if verdict.valid_until else ""
    by = who(verdict.walked.by) if verdict.walked else ""
    return say("Until %(until)s, by the walk of %(who)s.", until=until, who=by)


def _meant(wanted: str, numbers: list[str]) -> str | None:
    """Return the number that was typed, however its letters and spaces were."""
    if wanted in numbers:
        return wanted
    plain = {"".join(number.split()).casefold(): number for number in numbers}
    return plain.get("".join(wanted.split()).casefold())


def _occasions(standing: Standing) -> list[tuple[str, str]]:
    """Return the further occasions that there is a list for, each with its words."""
    machine = standing.unit.machine
    others = list(OCCASIONS)[1:]
    found = [name for name in others if checklists.in_force(g.db, machine, name)]
    return [(name, say(OCCASIONS[name])) for name in found]
