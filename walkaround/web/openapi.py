"""The description of the JSON API (OpenAPI 3.1), for programs and those who write them."""

from typing import Any

from flask import Blueprint, Response, current_app, jsonify

from walkaround.web.guards import cookie
from walkaround.web.openapi_bodies import BODIES
from walkaround.web.openapi_paths import PATHS
from walkaround.web.openapi_shapes import SHAPES

ABOUT = (
    "Units and their verdicts, checklists, logbooks, and the one way in for entries. It tells what "
    "was recorded and never that a machine is safe: site rules, local law, the maker's manual and "
    "licensed people come first."
)

bp = Blueprint("openapi", __name__)


@bp.get("/api/v1/openapi.json")
def show() -> Response:
    """Return the description; it needs no sign-in."""
    return jsonify(document(current_app.config["BASE_URL"], cookie("session")))


def document(address: str, session_cookie: str) -> dict[str, Any]:
    """Return the whole description of the site at an address."""
    return {
        "openapi": "3.1.0",
        "info": {"title": "Walkaround", "version": "1", "description": ABOUT},
        "servers": [{"url": address}],
        "paths": PATHS,
        "components": {
            "schemas": {**SHAPES, **BODIES},
            "securitySchemes": {
                "token": {
                    "type": "http",
                    "scheme": "bearer",
                    "description": "From `walkaround token add`; it acts as its person.",
                },
                "session": {"type": "apiKey", "in": "cookie", "name": session_cookie},
                "csrf": {
                    "type": "apiKey",
                    "in": "header",
                    "name": "X-CSRF-Token",
                    "description": "With a session, for whatever changes something: from `/me`.",
                },
            },
        },
    }
