"""How much a request may carry, and from where one may come that changes something."""

from urllib.parse import urlsplit

from flask import current_app, request

from walkaround.store import photos
from walkaround.web import batch, carrying

SIGN_IN = 4 * 1024  # bytes
FORM = 1024 * 1024
FORM_WITH_PHOTOS = 64 * 1024 * 1024  # without scripts a walk comes with its photos as they are
LIMITS = {
    # One byte more: without a length a body is cut there, and whoever reads it has to notice.
    "entries.post": batch.LARGEST + 1,
    "photos.put": photos.LARGEST + 1,
    "sign_in.new": SIGN_IN,
    "sign_in.out": SIGN_IN,
}
WITH_PHOTOS = {"walkarounds.new", "reports.new", "defects.clear"}


def limit() -> None:
    """Let no more come in than this address takes, whether the request tells its length or not."""
    endpoint = request.endpoint or ""
    carries = endpoint == "sign_in.new" and carrying.is_carrying()
    with_photos = request.mimetype == "multipart/form-data" and (carries or endpoint in WITH_PHOTOS)
    usual = FORM_WITH_PHOTOS if with_photos else FORM
    request.max_content_length = usual if carries else LIMITS.get(endpoint, usual)


def is_foreign() -> bool:
    """Say whether a page of another site made the browser send this."""
    if site := request.headers.get("Sec-Fetch-Site"):
        return site == "cross-site"
    origin = request.headers.get("Origin")
    own = {request.host, urlsplit(current_app.config["BASE_URL"]).netloc}
    return origin is not None and urlsplit(origin).netloc not in own
