"""Whether the process answers, and whether it can do its work."""

from flask import Blueprint, Response, current_app
from sqlalchemy.exc import SQLAlchemyError

from walkaround.store import schema

bp = Blueprint("health", __name__)


@bp.get("/healthz")
def healthz() -> Response:
    """Say that the process answers; it asks nothing else."""
    return _plain("alive", 200)


@bp.get("/readyz")
def readyz() -> Response:
    """Say whether the database answers and is migrated."""
    try:
        ready = schema.is_ready(current_app.extensions["walkaround"].engine)
    except SQLAlchemyError:
        ready = False
    return _plain("ready", 200) if ready else _plain("the database does not answer", 503)


def _plain(words: str, status: int) -> Response:
    return Response(f"{words}\n", status, {"Cache-Control": "no-store"}, mimetype="text/plain")
