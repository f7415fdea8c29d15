"""Putting the program on the home screen of a phone: what the browser asks for before it does."""

import hashlib
import json
from functools import cache
from typing import Any

from flask import Blueprint, Response, g, send_from_directory

from walkaround.web import assets
from walkaround.web.language import say

PAPER = "#f4f2ec"  # by day: a manifest knows one colour only

bp = Blueprint("install", __name__)


@bp.get("/manifest.webmanifest")
def manifest() -> Response:
    """Return the manifest. Browsers ask without a cookie, so it knows a language and nobody."""
    response = Response(json.dumps(_manifest()), mimetype="application/manifest+json")
    response.headers["Cache-Control"] = "no-cache"
    return response


@bp.get("/install/<picture>")
def picture(picture: str) -> Response:
    """Return an icon or a screenshot. Its address stays, for a phone may ask again after years."""
    return send_from_directory(assets.ROOT / "install", picture)


def _manifest() -> dict[str, Any]:
    return {
        "id": "/",  # another one would be another program to every phone
        "name": "Walkaround",
        "short_name": "Walkaround",
        "description": say(
            "The walk round a heavy machine before the shift: recorded, decided, repaired, signed."
        ),
        "lang": g.language,
        "dir": "ltr",
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": [*_icons("app", "any", 192, 512), *_icons("maskable", "maskable", 192, 512)],
        "screenshots": [
            _screenshot("narrow", "390x844", say("One item of the walk round a machine")),
            _screenshot("wide", "1440x900", say("The board: which units may run, and which not")),
        ],
        "shortcuts": [
            _shortcut("scan", say("Scan a label"), "/scan"),
            _shortcut("waiting", say("Waiting to be sent"), "/waiting"),
        ],
    }


def _icons(sign: str, purpose: str, *sizes: int) -> list[dict[str, str]]:
    return [
        {**_image(f"{sign}-{size}.png", f"{size}x{size}"), "purpose": purpose} for size in sizes
    ]


def _screenshot(form_factor: str, sizes: str, label: str) -> dict[str, str]:
    return {**_image(f"{form_factor}.png", sizes), "form_factor": form_factor, "label": label}


def _shortcut(sign: str, name: str, url: str) -> dict[str, Any]:
    return {"name": name, "url": url, "icons": _icons(sign, "any maskable", 96, 192)}


def _image(name: str, sizes: str) -> dict[str, str]:
    return {"src": f"/install/{name}?{_digest(name)}", "sizes": sizes, "type": "image/png"}


@cache
def _digest(name: str) -> str:
    """Return what changes with that picture alone: phones take a new address for a new icon."""
    return hashlib.sha256((assets.ROOT / "install" / name).read_bytes()).hexdigest()[:8]
