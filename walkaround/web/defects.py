"""Defects: the mechanic's list, one line of it, and what can be done about that."""

from datetime import timedelta

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from walkaround import clock
from walkaround.actions.clear_defect import Work, clear_defect
from walkaround.actions.confirm_entry import confirm_entry
from walkaround.actions.defer_defect import Terms, defer_defect, longest
from walkaround.actions.enter import Result
from walkaround.actions.withdraw_deferral import withdraw_deferral
from walkaround.rules.instant import DAY
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import defects, standings
from walkaround.web.defect_forms import ClearForm, ConfirmForm, DeferForm, EntryForm, WithdrawForm
from walkaround.web.defect_lines import ranked, remark_words, rows_of
from walkaround.web.defect_page import DefectPage, page_of
from walkaround.web.guards import may
from walkaround.web.language import say
from walkaround.web.moments import local

Page = Response | str | tuple[str, int]

bp = Blueprint("defects", __name__, url_prefix="/defects")

KNOWN = N_("This was handed in already: what was sent first stands.")
DONE = {
    "clear": N_("Cleared, and signed with your name."),
    "defer": N_("Deferred, and signed with your name."),
    "withdraw": N_("Withdrawn: the deferral lets nothing run any more."),
    "confirm": N_("Confirmed: it counts from now on."),
}
STAYS = N_("It was found again while your page was open. That stays open: read it below.")


@bp.get("")
@may("mechanic", "supervisor")
def index() -> str:
    """Show every line that is not cleared, and the remarks of the last 30 days."""
    now, wanted = clock.now(), request.args.get("unit", "")
    found = standings.every(g.db, now)
    by_unit = {one.unit.number: one for one in found}
    pairs = ranked(found)
    rows = rows_of([p for p in pairs if wanted in ("", p[0].unit.number)], now)
    remarks = defects.remarks(g.db, now, wanted or None)
    return render_template(
        "defects/index.html",
        open=[row for row in rows if not row.deferred],
        deferred=[row for row in rows if row.deferred],
        units=sorted({standing.unit.number for standing, _ in pairs} | ({wanted} & set(by_unit))),
        wanted=wanted,
        remarks=[(row.unit, *remark_words(row, by_unit[row.unit])) for row in remarks],
    )


@bp.get("/<unit>/<id>")
@may("mechanic", "supervisor")
def show(unit: str, id: str) -> str:
    """Show the line that a defect stands in, or what ended it."""
    form = ConfirmForm(formdata=None)
    return render_template("defects/show.html", page=page_of(unit, id), form=form)


@bp.route("/<unit>/<id>/clearing", methods=["GET", "POST"])
@may("mechanic")
def clear(unit: str, id: str) -> Page:
    """End the whole line, as the reader saw it."""
    page, form = page_of(unit, id), ClearForm()
    if page.cleared and request.method == "GET":
        return redirect(here(page), code=303)
    if form.validate_on_submit():
        work = Work(
            form.outcome.data, form.work.data, form.parts.data or "", form.value, form.names
        )
        try:
            done = clear_defect(g.db, page.unit, form.ids, work, form.signer, clock.now())
            return led_on(page_of(unit, id), "clear", done)
        except Refusal as error:
            form.refuse(error)
    return answer("defects/clear.html", page, form)


@bp.route("/<unit>/<id>/deferral", methods=["GET", "POST"])
@may("mechanic")
def defer(unit: str, id: str) -> Page:
    """Let the unit run with the line, under restrictions, until an end."""
    page, form = page_of(unit, id), DeferForm()
    if (page.cleared or page.line.critical) and request.method == "GET":
        return redirect(here(page), code=303)
    if form.validate_on_submit():
        terms = Terms(form.restrictions.data, form.until, form.value)
        try:
            done = defer_defect(g.db, page.unit, form.ids, terms, form.signer, clock.now())
            return led_on(page, "defer", done)
        except Refusal as error:
            form.refuse(error)
    return answer("defects/defer.html", page, form, **limits(clock.now()))


@bp.route("/<unit>/<id>/deferrals/<deferral>/withdrawal", methods=["GET", "POST"])
@may("mechanic", "supervisor")
def withdraw(unit: str, id: str, deferral: str) -> Page:
    """Take a deferral back."""
    page, form = page_of(unit, id), WithdrawForm()
    one = page.deferring(deferral)
    if form.validate_on_submit():
        try:
            done = withdraw_deferral(
                g.db, page.unit, deferral, form.why.data, g.person, form.signer, clock.now()
            )
            return led_on(page, "withdraw", done)
        except Refusal as error:
            form.refuse(error)
    return answer("defects/withdraw.html", page, form, deferring=one)


@bp.post("/<unit>/<id>/confirmation")
@may("mechanic")
def confirm(unit: str, id: str) -> Page:
    """Say that an unconfirmed entry is one's own."""
    page, form = page_of(unit, id), ConfirmForm()
    if form.validate_on_submit():
        try:
            wanted = form.confirmed.data or ""
            done = confirm_entry(g.db, page.unit, wanted, form.signer, clock.now())
            return led_on(page, "confirm", done)
        except Refusal as error:
            form.refuse(error)
    return answer("defects/show.html", page, form)


def limits(now: int) -> dict[str, object]:
    """Return how long a deferral may be: in days, and the last whole day."""
    days = longest(g.db, now)
    last = local(now + days * DAY).date() - timedelta(days=1)
    return {"days": days, "last": last.isoformat()}


def here(page: DefectPage) -> str:
    """Return the address of a line."""
    return url_for("defects.show", unit=page.unit, id=page.id)


def led_on(page: DefectPage, what: str, done: Result) -> Response:
    """Lead to the line, with what became of the form; to what is still open, if there is some."""
    sentence = KNOWN if done.result == "known" else DONE[what]
    flash(say(sentence))
    if what == "clear" and page.again:
        flash(say(STAYS))
        id = page.again.defects[0].id
        return redirect(url_for("defects.show", unit=page.unit, id=id), code=303)
    return redirect(here(page), code=303)


def answer(template: str, page: DefectPage, form: EntryForm, **more: object) -> Page:
    """Show a form, with what is wrong in it."""
    status = 422 if form.is_submitted() else 200
    return render_template(template, page=page, form=form, **more), status
