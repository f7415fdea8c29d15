import base64
import hashlib
import re
from functools import cache
from pathlib import Path

from flask import Flask, Response, current_app, send_from_directory
from markupsafe import Markup
from werkzeug.exceptions import NotFound

from walkaround import places
from walkaround.store import releases
from walkaround.web.loop import beads

ROOT = places.static()
FOR_EVER = "public, max-age=31536000, immutable"
SHEETS = ("tokens", "base", "layout", "parts/*", "print")  # paper has sheets of its own


def register(app: Flask) -> None:
    """Let templates ask for what is named here, and serve what `asset` names."""
    app.jinja_env.globals.update(asset=asset, modules=modules, style=style, sign=sign)
    app.jinja_env.globals.update(plan=plan, beads=beads)
    app.add_url_rule("/static/<string(length=16):version>/<path:name>", "kept_file", kept_file)


def kept_file(version: str, name: str) -> Response:
    """Return a file of this release, or of an earlier one that a phone may still have open."""
    folder = ROOT if version == digest() else _earlier(version)
    try:
        if folder is None:
            raise NotFound
        response = send_from_directory(folder, name)
    except NotFound:  # in plain words: a page in the place of a script helps nobody
        return Response("There is no such file.\n", 404, mimetype="text/plain")
    response.headers["Cache-Control"] = FOR_EVER
    return response


def _earlier(version: str) -> Path | None:
    kept: Path | None = current_app.config.get("RELEASES")
    return releases.folder_of(version, kept) if kept else None


def asset(name: str) -> str:
    """Return the address of a static file that may be kept for ever."""
    # The version is a folder, so that a module's own imports carry it as well.
    return f"/static/{digest()}/{name}"


@cache
def modules(*names: str) -> list[str]:
    """Return the addresses of these modules and of all that they import, each before its own."""
    found = [ROOT / "js" / "modules" / f"{name}.js" for name in names]
    for path in found:  # it grows meanwhile
        asked = re.findall(r'^import .* from "(.+)"', path.read_text("utf-8"), re.MULTILINE)
        more = [(path.parent / name).resolve() for name in asked]
        found += [one for one in dict.fromkeys(more) if one not in found]
    return [asset(path.relative_to(ROOT).as_posix()) for path in found]


@cache
def digest() -> str:
    """Return 16 hex digits that change whenever any static file does."""
    total = hashlib.sha256()
    for path in sorted(path for path in ROOT.rglob("*") if path.is_file()):
        total.update(path.relative_to(ROOT).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return total.hexdigest()[:16]


@cache
def style() -> Markup:
    """Return the whole style: inline it costs the first paint nothing, a file of its own 1.2 s."""
    sheets = [path for name in SHEETS for path in sorted(ROOT.glob(f"css/{name}.css"))]
    return Markup(joined(tightened("".join(path.read_text("utf-8") for path in sheets))))


@cache
def style_source() -> str:
    """Return what the content policy calls that style, the same on every answer."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(style().encode()).digest()).decode()}'"


@cache
def sign(name: str) -> Markup:
    """Return one of our own pictograms to be put into a page; the words stand beside it."""
    return _picture(ROOT / "signs" / f"{name}.svg")


@cache
def plan(machine: str) -> Markup:
    """Return a machine seen from above, the general one where it has no drawing yet."""
    name = re.sub(r"[^a-z0-9]+", "-", machine.lower())  # a name is data: it may not lead elsewhere
    path = ROOT / "signs" / "plans" / f"{name}.svg"
    return _picture(path if path.is_file() else path.with_name("machine.svg"))


def tightened(css: str) -> str:
    """Return a style sheet without its comments and most of its white space."""
    css = re.sub(r"/\*.*?\*/", "", css, flags=re.DOTALL)
    css = re.sub(r"\s+", " ", css)
    return re.sub(r" ?([{};,>]) ?|(:) (?=[^{}]*[;}])", r"\1\2", css).replace(";}", "}").strip()


def joined(css: str) -> str:
    """Return a tightened style whose parts, a file each, stand in one layer without its seams."""
    seam = "}@layer parts{"
    before, *parts = css.split(seam)
    return before + seam + "".join(parts)


def _picture(path: Path) -> Markup:
    text = re.sub(r">\s+<", "><", path.read_text("utf-8").strip())
    hidden = '<svg aria-hidden="true" focusable="false"'
    return Markup(text.replace('<svg xmlns="http://www.w3.org/2000/svg"', hidden, 1))
