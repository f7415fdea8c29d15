"""What is in doubt, with settling, and what was refused."""

import json
from collections.abc import Sequence
from dataclasses import dataclass

from flask import Blueprint, abort, flash, g, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import TextAreaField
from wtforms.validators import DataRequired, Length

from walkaround import clock
from walkaround.actions.settle_doubt import settle_doubt
from walkaround.rules.body import is_uuid
from walkaround.rules.refusal import N_
from walkaround.store import doubts, entries, refused, units
from walkaround.store.models import DoubtRow, RefusedRow
from walkaround.web.content_words import of_doubt, words
from walkaround.web.entry_words import title
from walkaround.web.guards import may
from walkaround.web.language import say
from walkaround.web.lines import who
from walkaround.web.moments import clock_words, moment
from walkaround.web.signing import LONG, SignedForm
from walkaround.web.whys import why

bp = Blueprint("doubts", __name__)


class SettlingForm(SignedForm):
    """What the supervisor has found out."""

    note = TextAreaField(
        N_("What you found out"),
        [DataRequired(N_("Say what you found out.")), Length(max=2000, message=LONG)],
    )


@dataclass(frozen=True)
class DoubtShown:
    """All doubts about one entry in one unit's logbook: one settling ends them."""

    unit: str
    about: str
    why: list[str]
    since: str
    contents: list[tuple[str, list[str]]]


@dataclass(frozen=True)
class RefusedShown:
    """One refusal as the page shows it."""

    id: str
    title: str
    unit: str
    who: str
    when: str
    why: str
    lines: list[str]
    entered: bool
    noted: bool


@bp.get("/doubts")
@may("supervisor")
def index() -> str:
    """Show what nobody has settled."""
    return render_template("doubts/index.html", shown=_shown(doubts.unsettled(g.db)))


@bp.route("/units/<number>/doubts/<about>/settling", methods=["GET", "POST"])
@may("supervisor")
def settling(number: str, about: str) -> Response | tuple[str, int]:
    """Settle all doubts about one entry."""
    unit, form = units.find(g.db, number) or abort(404), SettlingForm()
    if is_uuid(about) and form.validate_on_submit():
        settle_doubt(g.db, unit.number, about, form.note.data, form.signer, clock.now())
        flash(say("It stands in the logbook of %(unit)s.", unit=number))
        return redirect(url_for("doubts.index"), code=303)
    found = _shown(doubts.unsettled(g.db, unit.number, about)) or abort(404)
    status = 422 if form.is_submitted() else 200
    return render_template("doubts/settling.html", form=form, doubt=found[0]), status


@bp.get("/refused")
@may("supervisor")
def refusals() -> str:
    """Show what could not be entered, newest first."""
    page = request.args.get("page", "0")
    if not page.isdecimal() or len(page) > 6:
        abort(404)
    found = refused.page(g.db, int(page))
    again, noted = refused.entered(g.db, found.rows), refused.noted(g.db, found.rows)
    shown = [refusal(row, entered=row.id in again, noted=row.id in noted) for row in found.rows]
    return render_template("doubts/refused.html", shown=shown, page=int(page), more=found.more)


def _shown(rows: Sequence[DoubtRow]) -> list[DoubtShown]:
    groups: dict[tuple[str, str], list[DoubtRow]] = {}
    for row in rows:
        groups.setdefault((row.unit, row.about), []).append(row)
    return [_doubt(unit, about, together) for (unit, about), together in groups.items()]


def _doubt(unit: str, about: str, rows: list[DoubtRow]) -> DoubtShown:
    made = entries.named(g.db, [row.id for row in rows])
    contents = dict.fromkeys(
        (heading, tuple(lines)) for row in made for heading, lines in of_doubt(row)
    )
    return DoubtShown(
        unit=unit,
        about=about,
        why=list(dict.fromkeys(why(row.why) for row in rows)),
        since=moment(rows[0].made_at),
        contents=[(heading, list(lines)) for heading, lines in contents],
    )


def refusal(row: RefusedRow, *, entered: bool = False, noted: bool = False) -> RefusedShown:
    """Return one refusal in words."""
    clock_was = [said for said in [clock_words(row.skew_ms)] if said]
    return RefusedShown(
        id=row.id,
        title=title(row.kind),
        unit=row.unit or "",
        who=who(row.by),
        when=moment(row.received_at),
        why=why(row.why),
        lines=words(json.loads(row.content), row.skew_ms) + clock_was,
        entered=entered,
        noted=noted,
    )
