"""Photos: sent by phones and forms, seen by whoever may see the entry that names them."""

from collections.abc import Iterable

from flask import Blueprint, Response, current_app, g, jsonify, request, url_for
from werkzeug.datastructures import FileStorage
from werkzeug.exceptions import NotFound

from walkaround import clock
from walkaround.actions.add_photo import add_photo
from walkaround.rules.refusal import Refusal
from walkaround.store import photos
from walkaround.web.errors import answer
from walkaround.web.guards import api, signed_in
from walkaround.web.language import say

STATUSES = {
    photos.PhotoTooLarge: 413,
    photos.NotAPhoto: 415,
    photos.WrongHash: 422,
    photos.PhotosBusy: 503,
    photos.NoRoom: 507,
}
POLICY = "sandbox; default-src 'none'"

bp = Blueprint("photos", __name__)


def refused(error: Refusal) -> Response:
    """Answer with the status that the contract names."""
    response = answer(STATUSES[type(error)], say(error.sentence, **error.data))
    if isinstance(error, photos.PhotosBusy):
        response.headers["Retry-After"] = "5"
    return response


for kind in STATUSES:
    bp.register_error_handler(kind, refused)


@bp.put("/api/v1/photos/<sha256>")
@api()
def put(sha256: str) -> Response:
    """Take in a photo under its hash, as often as it is sent."""
    known = photos.find(g.db, sha256) is not None
    add_photo(g.db, folder(), _sent(), g.person.crew_number, clock.now(), sha256)
    response = jsonify(sha256=sha256)
    response.status_code = 200 if known else 201
    response.headers["Location"] = url_for("photos.read", sha256=sha256)
    return response


@bp.get("/api/v1/photos/<sha256>")
@api()
def read(sha256: str) -> Response:
    """Return a photo to a program."""
    return _picture(sha256)


@bp.get("/photos/<sha256>")
@signed_in
def show(sha256: str) -> Response:
    """Return a photo; `?small` as a thumbnail."""
    return _picture(sha256)


def take_in(sent: Iterable[FileStorage]) -> tuple[str, ...]:
    """Take in the photos of a form and return their names; raise what add_photo raises."""
    store, by, now = folder(), g.person.crew_number, clock.now()
    found = (one.stream.read(photos.LARGEST + 1) for one in sent)  # an empty field sends no bytes
    return tuple(add_photo(g.db, store, data, by, now) for data in found if data)


def folder() -> photos.Folder:
    """Return where this site's photos are."""
    return photos.Folder(current_app.extensions["walkaround"].config.data / "photos")


def _sent() -> bytes:
    """Return what was sent, without holding the database up while it comes in."""
    g.db.rollback()
    return request.get_data(cache=False)


def _picture(sha256: str) -> Response:
    small = "small" in request.args
    if not photos.may_see(g.db, sha256, g.person.crew_number):
        raise NotFound
    made = folder().read(f"{sha256}.{photos.SMALL if small else photos.LARGE}")
    if made is None:
        raise NotFound
    response = Response(made, mimetype="image/jpeg")
    response.headers["Content-Disposition"] = f'inline; filename="{sha256}.jpg"'
    response.headers["Content-Security-Policy"] = POLICY
    response.set_etag(f"{sha256}-small" if small else sha256)
    return response.make_conditional(request)  # type: ignore[return-value]
