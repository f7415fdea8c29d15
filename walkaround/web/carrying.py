"""What somebody entered before their session ended: carried through the sign-in, shown once more.

It is never taken as it comes: whoever signs in now may be somebody else, and has to look and sign.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from flask import redirect, request, url_for
from flask_wtf import FlaskForm
from werkzeug.wrappers import Response

from walkaround.rules.refusal import N_
from walkaround.web.language import say

MARK = (
    "carried"  # beside the fields: they were carried; its value says whether photos stayed behind
)
PREFIX = "sign_in-"  # of the sign-in's own fields, for a form may have a crew number and a PIN too
AGAIN = N_("Nothing was handed in yet. Look over what you entered and send it again.")
NO_PHOTOS = N_("Photos were not kept: choose them again.")

Pairs = Sequence[tuple[str, str]]


class CarriedForm(FlaskForm):  # type: ignore[misc]
    """A form that is shown once more, filled in, where it came through a sign-in."""

    def validate(self, extra_validators: Mapping[str, Sequence[Any]] | None = None) -> bool:
        """Take nothing that was carried."""
        if MARK not in request.form:
            return bool(super().validate(extra_validators))
        lost = request.form[MARK] == "without photos"
        self.form_errors = [f"{say(AGAIN)} {say(NO_PHOTOS)}" if lost else say(AGAIN)]
        return False


def fields() -> Pairs:
    """Return what was entered, as hidden fields; no PIN, no token."""
    kept = [
        (name, value)
        for name, value in request.form.items(multi=True)
        if name not in ("pin", MARK) and not name.endswith("csrf_token") and PREFIX not in name
    ]
    photos = any(file.filename for file in request.files.values())
    mark = request.form.get(MARK) or ("without photos" if photos else "whole")
    return [*kept, (MARK, mark)] if kept else []


def to_sign_in() -> Response:
    """Lead to the sign-in and back again, with what was entered."""
    where = request.full_path.rstrip("?")
    if fields():
        return redirect(url_for("sign_in.new", next=where, carried="1"), code=307)
    return redirect(url_for("sign_in.new", next=where), code=303)


def is_carrying() -> bool:
    """Say whether this sign-in carries something."""
    return MARK in request.args


def arrives() -> bool:
    """Say whether this is what was entered elsewhere, on its way to the sign-in, and no try yet."""
    return is_carrying() and f"{PREFIX}crew_number" not in request.form
