"""Domain errors as statuses and pages, in one table."""

import logging
import uuid

from flask import Flask, Response, g, jsonify, render_template, request
from flask_wtf.csrf import CSRFError
from sqlalchemy.exc import OperationalError
from werkzeug.exceptions import HTTPException

from walkaround.rules.refusal import N_, Refusal
from walkaround.store.pins import TooBusy
from walkaround.web import bounds, carrying
from walkaround.web.language import say

SENTENCES = {
    400: N_("This request cannot be understood."),
    401: N_("Sign in first."),
    403: N_("This is for other roles. Ask a supervisor if you need it."),
    404: N_("There is nothing here. Check the unit number or the address."),
    405: N_("This address does not take that kind of request."),
    413: N_("This is too large. Send less at once."),
    415: N_("Photos must be JPEG, PNG or WebP pictures."),
    422: N_("This cannot be used as it is."),
    429: N_("Too many tries. Wait a little, then try again."),
    500: N_("Something went wrong here. Do not start the machine on account of this page."),
    503: N_("The server cannot answer now. Do not start the machine on account of this page."),
}
CSRF = N_("This page was open for too long, or the browser keeps no cookies. Try again.")

log = logging.getLogger("walkaround")


def register(app: Flask) -> None:
    """Answer every error with a sentence that a person can act on."""
    app.register_error_handler(HTTPException, http_error)
    app.register_error_handler(CSRFError, csrf_error)
    app.register_error_handler(Refusal, refusal)
    app.register_error_handler(TooBusy, too_busy)
    app.register_error_handler(OperationalError, unexpected)
    app.register_error_handler(Exception, unexpected)


def http_error(error: HTTPException) -> Response:
    status = error.code or 500
    if status < 400:
        return Response.force_type(error.get_response())  # type: ignore[return-value]
    own = error.description if getattr(error, "own_words", False) else None
    response = answer(status, own or say(SENTENCES.get(status, SENTENCES[400])))
    for name, value in error.get_headers():
        if name.lower() not in ("content-type", "content-length"):
            response.headers[name] = value
    return response


def csrf_error(_error: CSRFError) -> Response:
    """Say that the form's token is not good; what a page of ours sent can be shown once more."""
    carried = [] if is_api() or bounds.is_foreign() else carrying.fields()
    return answer(400, say(CSRF), kind="csrf", carried=carried)


def refusal(error: Refusal) -> Response:
    return answer(409, say(error.sentence, **error.data))


def too_busy(_error: TooBusy) -> Response:
    response = answer(503, say(SENTENCES[429]))
    response.headers["Retry-After"] = "5"
    return response


def unexpected(error: Exception) -> Response:
    """Show a number and no insides; the number finds the log line."""
    name = str(uuid.uuid4())
    log.exception("unexpected error %s", name, exc_info=error)
    status = 503 if isinstance(error, OperationalError) else 500
    return answer(status, f"{say(SENTENCES[status])} ({name})")


def is_api() -> bool:
    """Say whether a program asks, and wants JSON."""
    return request.path.startswith("/api/")


def answer(
    status: int, sentence: str, kind: str = "about:blank", carried: carrying.Pairs = ()
) -> Response:
    """Return an error as a page, or as RFC 9457 to a program."""
    if is_api():
        response = jsonify(type=kind, title=sentence, status=status, detail=sentence)
        response.content_type = "application/problem+json"
    else:
        person = g.get("person")
        page = "errors/error.html"
        response = Response(
            render_template(page, sentence=sentence, person=person, carried=carried)
        )
    response.status_code = status
    return response
