"""The phones on which PINs work: enrol one, shut one out, ask what one has not sent."""

from flask import Blueprint, abort, current_app, flash, g, redirect, render_template, url_for
from werkzeug.wrappers import Response
from wtforms import StringField
from wtforms.validators import Length

from walkaround import clock
from walkaround.actions.add_phone import add_phone
from walkaround.actions.look_into_phone import look_into_phone
from walkaround.actions.shut_out_phone import shut_out_phone
from walkaround.rules.person import NAME_LENGTH
from walkaround.rules.refusal import N_
from walkaround.store import phone_gaps, phones
from walkaround.web.guards import may
from walkaround.web.language import say
from walkaround.web.proof import ProofForm

Page = Response | tuple[str, int]

bp = Blueprint("phones", __name__, url_prefix="/phones")


class PhoneForm(ProofForm):
    """What a phone is to be called."""

    name = StringField(
        N_("What it is called"),
        [Length(max=NAME_LENGTH, message=N_("A name has at most 80 letters."))],
    )


@bp.get("")
@may("supervisor")
def index() -> str:
    """Show every phone and when it was last heard from."""
    lacking = {one.phone.id: one for one in phone_gaps.lacking(g.db, clock.now())}
    return render_template("phones/index.html", phones=phones.all(g.db), lacking=lacking)


@bp.route("/new", methods=["GET", "POST"])
@may("supervisor")
def new() -> Page:
    """Show a link and a code that enrol one browser, once."""
    form, now = PhoneForm(), clock.now()
    if not form.validate_on_submit():
        return render_template("phones/new.html", form=form), 422 if form.is_submitted() else 200
    code = add_phone(g.db, (form.name.data or "").strip() or None, now)
    link = f"{current_app.config['BASE_URL']}{url_for('sign_in.enrol', code=code)}"
    side, path = drawn(link)
    until = now + phones.CODE_LASTS
    return render_template("phones/code.html", link=link, side=side, path=path, until=until), 200


@bp.route("/<id>/shutting-out", methods=["GET", "POST"])
@may("supervisor")
def shutting_out(id: str) -> Page:
    """Shut a phone out, at once and for good."""
    phone, form = phones.by_id(g.db, id) or abort(404), ProofForm()
    if not form.validate_on_submit():
        status = 422 if form.is_submitted() else 200
        return render_template("phones/shutting_out.html", form=form, phone=phone), status
    shut_out_phone(g.db, phone.id, clock.now())
    flash(say("The phone %(name)s is shut out.", name=phone.name))
    return redirect(url_for("phones.index"), code=303)


@bp.post("/<id>/asking")
@may("supervisor")
def asking(id: str) -> Response:
    """Note that a supervisor has asked about what a phone has not sent."""
    phone = phones.by_id(g.db, id) or abort(404)
    look_into_phone(g.db, phone.id, g.person.crew_number, clock.now())
    flash(say("Noted. What %(name)s still sends comes in as before.", name=phone.name))
    return redirect(url_for("phones.index"), code=303)


def drawn(text: str) -> tuple[int, str]:
    """Return a QR code to be drawn in the page: its side in modules, and one path."""
    from walkaround.paper import qr  # here: few pages draw one

    rows = qr.matrix(text)
    runs = [f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, dark in enumerate(row) if dark]
    return len(rows), "".join(runs)
