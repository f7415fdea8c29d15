"""Walk-arounds: walking round a unit with its list, and what a finished one says."""

from collections.abc import Mapping

from flask import Blueprint, g, redirect, render_template, url_for
from werkzeug.exceptions import NotFound
from werkzeug.wrappers import Response
from wtforms import BooleanField, HiddenField, StringField

from walkaround import clock
from walkaround.actions.hand_in import hand_in
from walkaround.rules.refusal import Refusal
from walkaround.rules.words import Text
from walkaround.rules.words import say as say_text
from walkaround.store import entries
from walkaround.web.guards import signed_in
from walkaround.web.language import say
from walkaround.web.reasons import text
from walkaround.web.signing import EntryForm
from walkaround.web.units import sentence, standing_of
from walkaround.web.walk_page import posted, ready
from walkaround.web.walk_shown import shown

bp = Blueprint("walkarounds", __name__, url_prefix="/units/<number>/walkarounds")


class WalkForm(EntryForm):
    """What is asked besides the items, which come out of the checklist."""

    checklist = HiddenField()
    version = HiddenField()
    started_at = HiddenField()
    seen = HiddenField()
    units = HiddenField()
    sent = HiddenField()
    for_shift = StringField()
    hours = StringField()
    no_hours = BooleanField()
    insisted = BooleanField()


@bp.route("/new", methods=["GET", "POST"])
@signed_in
def new(number: str) -> Response | str | tuple[str, int]:
    """Walk round one unit, sign and hand it in."""
    form, standing, now = WalkForm(), standing_of(number), clock.now()
    page = (posted if form.is_submitted() else ready)(standing, form, now)
    if form.is_submitted() and not page.problems:
        try:
            made = hand_in(g.db, page.walk(), form.signer, now)
            return redirect(url_for("walkarounds.show", number=number, id=made.id), code=303)
        except Refusal as error:
            page = page.refused(say(error.sentence, **error.data))
    status = 422 if form.is_submitted() else 200
    return render_template("walkarounds/new.html", page=page, form=form), status


@bp.get("/<id>")
@signed_in
def show(number: str, id: str) -> str:
    """Show a finished walk, and what the unit may do now."""
    standing = standing_of(number)
    row = entries.find(g.db, id)
    if row is None or row.kind != "walkaround" or row.unit != number:
        raise NotFound
    return render_template(
        "walkarounds/show.html",
        walk=shown(row, standing),
        standing=standing,
        sentence=sentence(standing),
        why=[text(reason, standing, g.language) for reason in standing.verdict.reasons],
    )


@bp.app_template_filter("said")
def said(words: Text) -> str:
    """Return words of a checklist in the reader's language."""
    return say_text(words, g.language)


@bp.app_template_filter("findings")
def findings(known: Mapping[str, Text]) -> list[tuple[str, str]]:
    """Return the findings of an item, to be tapped."""
    return [(name, say_text(words, g.language)) for name, words in known.items()]
