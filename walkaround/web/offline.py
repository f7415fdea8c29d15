"""The service worker: which release it is, and the files and pages that it keeps whole."""

import json
from functools import cache

from flask import Blueprint, Response

from walkaround.web import assets, release
from walkaround.web.kept import PAGES

bp = Blueprint("offline", __name__)

KEPT = ("*.js", "icon.svg", "app-180.png")


@bp.get("/sw.js")
def worker() -> Response:
    """Return the worker. Its address stays for ever, and it is never taken from a cache."""
    source = (assets.ROOT / "js" / "sw.js").read_text("utf-8")
    response = Response(_names() + source, mimetype="text/javascript")
    response.headers["Cache-Control"] = "no-cache"
    return response


def files() -> list[str]:
    """Return the addresses of the files that every kept page may ask for."""
    found = {path for pattern in KEPT for path in assets.ROOT.rglob(pattern)}
    names = sorted(path.relative_to(assets.ROOT).as_posix() for path in found)
    return [assets.asset(name) for name in names if name != "js/sw.js"]


@cache
def _names() -> str:
    named = {"RELEASE": release.digest(), "FILES": files(), "PAGES": PAGES}
    return "".join(f"const {name} = {json.dumps(value)}\n" for name, value in named.items())
