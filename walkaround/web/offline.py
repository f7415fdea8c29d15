"""The service worker: which release it is, and the files and pages that it keeps whole."""

import json
from functools import cache

from flask import Blueprint, Response, current_app

from walkaround.web import assets, release
from walkaround.web.kept import PAGES

bp = Blueprint("offline", __name__)

KEPT = ("*.js", "icon.svg", "app-180.png")


@bp.get("/sw.js")
def worker() -> Response:
    """Return the worker. Its address stays for ever, and it is never taken from a cache."""
    if current_app.extensions["walkaround"].config.worker == "off":
        source = _script("sw-off.js")
    else:
        source = _names() + _script("sw.js")
    response = Response(source, mimetype="text/javascript")
    response.headers["Cache-Control"] = "no-cache"
    return response


def files() -> list[str]:
    """Return the addresses of the files that every kept page may ask for."""
    found = {path for pattern in KEPT for path in assets.ROOT.rglob(pattern)}
    names = sorted(path.relative_to(assets.ROOT).as_posix() for path in found)
    return [assets.asset(name) for name in names if not name.startswith("js/sw")]


def _script(name: str) -> str:
    return (assets.ROOT / "js" / name).read_text("utf-8")


@cache
def _names() -> str:
    named = {"RELEASE": release.digest(), "FILES": files(), "PAGES": PAGES}
    return "".join(f"const {name} = {json.dumps(value)}\n" for name, value in named.items())
