"""In and out, and enrolling a phone."""

from urllib.parse import urlsplit

from flask import Blueprint, current_app, g, redirect, render_template, request, url_for
from flask_wtf import FlaskForm
from werkzeug.exceptions import HTTPException, MethodNotAllowed
from werkzeug.routing.exceptions import RoutingException
from werkzeug.wrappers import Response as AnyResponse
from wtforms import PasswordField, StringField

from walkaround import clock
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.actions.sign_in import NotSignedIn, SignedIn, sign_in
from walkaround.actions.sign_out import sign_out
from walkaround.rules.setting import SiteRules
from walkaround.store import settings
from walkaround.store.phones import CodeOver
from walkaround.web import carrying
from walkaround.web.guards import cookie
from walkaround.web.language import say

YEAR = 366 * 24 * 3600  # seconds

bp = Blueprint("sign_in", __name__)


class SignInForm(FlaskForm):  # type: ignore[misc]
    """Who, and the proof."""

    crew_number = StringField()
    pin = PasswordField()


@bp.route("/sign-in", methods=["GET", "POST"])
def new() -> AnyResponse | tuple[str, int]:
    """Sign in with crew number and PIN, on an enrolled phone."""
    form = SignInForm(prefix=carrying.PREFIX if carrying.is_carrying() else "")
    if request.method != "POST" or carrying.arrives():  # HEAD is no try to sign in
        return page(form, 200)
    try:
        made = _signed(form)
    except NotSignedIn as error:
        form.pin.errors = [say(error.sentence)]
        return page(form, 422)
    wanted = own_path(request.args.get("next", ""))
    again = 307 if wanted and carrying.is_carrying() else 303  # 307 posts the same once more
    response = redirect(wanted or url_for("start.index"), code=again)
    keep(response, "session", made.session_secret)
    return response


@bp.post("/sign-out")
def out() -> AnyResponse:
    """Sign out; what was signed stays."""
    if g.session_secret:
        sign_out(g.db, g.session_secret)
    response = redirect(url_for("sign_in.new"), code=303)
    response.delete_cookie(cookie("session"), secure=current_app.config["HTTPS"], httponly=True)
    return response


@bp.get("/enrol/<code>")
def enrol(code: str) -> AnyResponse | tuple[str, int]:
    """Enrol this browser, once, and let somebody sign in."""
    if request.method == "HEAD":
        raise MethodNotAllowed(["GET"])  # whoever only looks must not use up the code
    try:
        _, secret = enrol_phone(g.db, code, clock.now())
    except CodeOver as error:
        if g.phone:
            return redirect(url_for("sign_in.new"), code=303)
        return render_template("sign_in/code_over.html", sentence=say(error.sentence)), 410
    response = redirect(url_for("sign_in.new"), code=303)
    keep(response, "phone", secret)
    return response


def page(form: SignInForm, status: int) -> tuple[str, int]:
    """Return the sign-in page, or the one that says how a phone becomes part of the site."""
    name = "sign_in/new.html" if g.phone else "sign_in/not_enrolled.html"
    carried = carrying.fields() if carrying.is_carrying() else []
    return render_template(name, form=form, site=g.db.info["site"], carried=carried), status


def keep(response: AnyResponse, name: str, secret: str) -> None:
    """Keep a secret in the browser for as long as the server takes it."""
    response.set_cookie(
        cookie(name),
        secret,
        max_age=YEAR if name == "phone" else None,
        secure=current_app.config["HTTPS"],
        httponly=True,
        samesite="Lax",
    )


def own_path(wanted: str) -> str | None:
    """Return a path of this program, or None: an answer never leads to another site."""
    try:
        parts = urlsplit(wanted)
    except ValueError:
        return None
    if parts.scheme or parts.netloc or not wanted.startswith("/") or not wanted.isprintable():
        return None
    if wanted.startswith("//") or "\\" in wanted:
        return None
    try:
        current_app.url_map.bind("").match(parts.path, method="GET")
    except (HTTPException, RoutingException):
        return None
    return wanted


def _signed(form: SignInForm) -> SignedIn:
    now, keys = clock.now(), current_app.extensions["walkaround"].keys
    phone = g.phone.id if g.phone else None
    return sign_in(
        g.db,
        keys,
        phone,
        (form.crew_number.data or "").strip(),
        form.pin.data or "",
        request.remote_addr,
        now,
        shift_end(settings.site_rules(g.db), now),
        previous=g.session_secret,
    )


def shift_end(site: SiteRules, now: int) -> int | None:
    """Return when the shift ends that somebody who comes now will work in."""
    coming = site.roster.next(now)
    if coming and now >= coming.start - site.early(coming.start):
        return coming.end
    present = site.roster.at(now)
    return present.end if present else None
