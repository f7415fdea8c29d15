"""Words about an earlier entry, and one's own word for an entry that came in unconfirmed."""

from flask import Blueprint, abort, flash, g, redirect, render_template, url_for
from werkzeug.exceptions import Forbidden
from werkzeug.wrappers import Response
from wtforms import BooleanField, TextAreaField
from wtforms.validators import DataRequired, Length

from walkaround import clock
from walkaround.actions.confirm_entry import confirm_entry
from walkaround.actions.correct_entry import WITHDRAWN, correct_entry
from walkaround.rules.person import may_correct
from walkaround.rules.refusal import N_
from walkaround.store import entries
from walkaround.store.models import EntryRow
from walkaround.web.content_words import words
from walkaround.web.entry_words import title
from walkaround.web.guards import signed_in
from walkaround.web.language import say
from walkaround.web.lines import who
from walkaround.web.signing import LONG, SignedForm

Page = Response | tuple[str, int]

bp = Blueprint("corrections", __name__, url_prefix="/entries/<id>")


class CorrectionForm(SignedForm):
    """What was wrong with the entry."""

    what = TextAreaField(
        N_("What was wrong"),
        [DataRequired(N_("Say what was wrong.")), Length(max=2000, message=LONG)],
    )
    withdraws = BooleanField(N_("Withdraw what it covers, or the number that it states"))


@bp.route("/correction", methods=["GET", "POST"])
@signed_in
def correct(id: str) -> Page:
    """Correct an entry: one's own, or any as a supervisor."""
    row, form = _entry(id), CorrectionForm()
    if not may_correct(g.person.roles, g.person.crew_number, row.by or ""):
        raise Forbidden
    if not form.validate_on_submit():
        return _page("corrections/correction.html", form, row)
    what, withdraws = form.what.data, bool(form.withdraws.data) and row.kind in WITHDRAWN
    now = clock.now()
    correct_entry(g.db, row, what, g.person, form.signer, now, withdraws=withdraws)
    return _done(row)


@bp.route("/confirmation", methods=["GET", "POST"])
@signed_in
def confirm(id: str) -> Page:
    """Say of an unconfirmed entry that it is one's own."""
    row, form = _entry(id), SignedForm()
    if row.by != g.person.crew_number:
        raise Forbidden
    if row.signature == "confirmed":
        abort(404)
    if not form.validate_on_submit():
        return _page("corrections/confirmation.html", form, row)
    confirm_entry(g.db, row.unit, row.id, form.signer, clock.now())
    return _done(row)


def _entry(id: str) -> EntryRow:
    """Return an entry that somebody made; what the server noted is nobody's to correct."""
    row = entries.find(g.db, id.lower())
    return row if row is not None and row.kind not in ("doubt", "label") else abort(404)


def _page(name: str, form: SignedForm, row: EntryRow) -> Page:
    page = render_template(
        name,
        form=form,
        entry=row,
        heading=title(row.kind),
        lines=words(entries.content(row), row.skew_ms),
        by=who(row.by),
        withdraws=row.kind in WITHDRAWN,
    )
    return page, 422 if form.is_submitted() else 200


def _done(row: EntryRow) -> Response:
    flash(say("It stands in the logbook of %(unit)s.", unit=row.unit))
    return redirect(url_for("logbook.show", number=row.unit), code=303)
