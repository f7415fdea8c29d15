"""Scanning a label inside the page."""

from flask import Blueprint, render_template

from walkaround.web import assets

DECODER = "vendor/qr/decode.js"  # set-up brings it, where it can

bp = Blueprint("scan", __name__)


@bp.get("/scan")
def show() -> str:
    """Return the page that finds a label; it says whether the decoder is here."""
    is_here = (assets.ROOT / DECODER).is_file()
    return render_template("scan/show.html", decoder=assets.asset(DECODER) if is_here else "")
