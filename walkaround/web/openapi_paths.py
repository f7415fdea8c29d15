"""The addresses of the JSON API: what each takes and every status that it answers with."""

from typing import Any

from walkaround.web.openapi_shapes import HASH, INSTANT, TEXT, Schema, named

Operation = dict[str, Any]

SIGNED_IN: list[Schema] = [{"token": []}, {"session": []}]
SIGNED_IN_TO_CHANGE: list[Schema] = [{"token": []}, {"session": [], "csrf": []}]

STATUSES = {
    "200": "As asked",
    "201": "Taken in",
    "304": "What you have is what there is",
    "400": "It cannot be understood, or the header X-CSRF-Token is missing or too old",
    "401": "Sign in first, or send a token",
    "403": "This is for other roles",
    "404": "There is nothing here, or nothing that you may see",
    "413": "Too large, or more than 200 entries",
    "415": "No JPEG, PNG or WebP picture that can be used",
    "422": "It can be understood, but not used as it is",
    "500": "Something went wrong here; the number in the sentence finds it in the log",
    "503": "The server cannot answer now: send it again later",
    "507": "No room for photos now: keep it and send it again later",
}


def _answers(schema: Schema, *more: str, kind: str = "application/json") -> Operation:
    """Return what is answered: one schema when all is well, a problem for all else."""
    made: Operation = {"200": _answer("200", schema, kind)}
    for status in ("400", *more, "500", "503"):
        made[status] = _answer(status, named("Problem"), "application/problem+json")
    return made


def _answer(status: str, schema: Schema, kind: str) -> Operation:
    return {"description": STATUSES[status], "content": {kind: {"schema": schema}}}


def _read(summary: str, shape: str, *more: str, parameters: list[Operation] | None = None) -> Any:
    return {
        "summary": summary,
        "security": SIGNED_IN,
        "parameters": [_LANG, *(parameters or [])],
        "responses": _answers(named(shape), "401", *more),
    }


def _query(name: str, schema: Schema, description: str) -> Operation:
    return {"name": name, "in": "query", "schema": schema, "description": description}


def _in_path(name: str, schema: Schema, description: str) -> Operation:
    place = {"name": name, "in": "path", "required": True}
    return {**place, "schema": schema, "description": description}


_LANG = _query("lang", {"type": "string", "enum": ["en", "es"]}, "Else by Accept-Language")
_NUMBER = _in_path("number", TEXT, "The number painted on the unit, like L07")
_HASH = _in_path("sha256", HASH, "SHA-256 of what was sent, in lower-case hex")
_AT = _query("at", INSTANT, "For supervisors: the verdict as of then")
_AFTER = _query(
    "after",
    {"type": "integer", "minimum": 0, "maximum": 10**15 - 1},
    "Only entries behind this seq",
)
_OCCASION = _query("occasion", named("Occasion"), "Unless given, start_of_shift")
_JPEG: Schema = {"type": "string", "contentMediaType": "image/jpeg"}
_BYTES: Schema = {kind: {"schema": {}} for kind in ("image/jpeg", "image/png", "image/webp")}
_SMALL = {
    **_query("small", {"type": "string", "enum": [""]}, "A thumbnail"),
    "allowEmptyValue": True,
}


def _enter() -> Operation:
    return {
        "summary": "Take in entries, each on its own; safe to repeat",
        "security": SIGNED_IN_TO_CHANGE,
        "parameters": [_LANG],
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": named("Batch")}},
        },
        "responses": _answers(named("Results"), "401", "413", "422"),
    }


def _put_photo() -> Operation:
    answers = _answers(named("Photo"), "401", "413", "415", "422", "507")
    location = {"Location": {"schema": TEXT, "description": "Where it can be read"}}
    for status in ("200", "201"):
        answers[status] = _answer(status, named("Photo"), "application/json")
        answers[status]["headers"] = location
    return {
        "summary": "Take in a photo of at most 12 MB under its hash; safe to repeat",
        "security": SIGNED_IN_TO_CHANGE,
        "parameters": [_LANG],
        "requestBody": {"required": True, "content": _BYTES},
        "responses": answers,
    }


def _read_photo() -> Operation:
    answers = _answers(_JPEG, "401", "404", kind="image/jpeg")
    answers["304"] = {"description": STATUSES["304"]}
    return {
        "summary": "Read a photo: our own copy, for its sender until an entry names it",
        "security": SIGNED_IN,
        "parameters": [_LANG, _SMALL],
        "responses": answers,
    }


def _openapi() -> Operation:
    return {
        "summary": "Read this description",
        "security": [],
        "responses": _answers({"type": "object"}),
    }


def _kept() -> Operation:
    made = _read("What our own pages keep on a phone: it may change with any release", "Kept")
    made["responses"]["304"] = {"description": STATUSES["304"]}
    return dict(made)


_UNIT = _read("How a unit stands", "Unit", "403", "404", "422", parameters=[_AT])
_LIST = _read("The checklist in force", "Checklist", "404", parameters=[_OCCASION])
_BOOK = _read("A unit's entries", "Logbook", "404", "422", parameters=[_AFTER])

PATHS: dict[str, Any] = {
    "/api/v1/openapi.json": {"get": _openapi()},
    "/api/v1/me": {"get": _read("Who asks, where and when", "Me")},
    "/api/v1/people": {"get": _read("Everybody who ever was here", "People")},
    "/api/v1/units": {"get": _read("How all units stand", "Units")},
    "/api/v1/units/{number}": {"parameters": [_NUMBER], "get": _UNIT},
    "/api/v1/units/{number}/checklist": {"parameters": [_NUMBER], "get": _LIST},
    "/api/v1/units/{number}/logbook": {"parameters": [_NUMBER], "get": _BOOK},
    "/api/v1/units/{number}/services": {
        "parameters": [_NUMBER],
        "get": _read("The services of a unit, one for each interval", "Countdowns", "404"),
    },
    "/api/v1/refused": {"get": _read("What could not be entered", "AllRefused", "403")},
    "/api/v1/kept": {"get": _kept()},
    "/api/v1/entries": {"post": _enter()},
    "/api/v1/photos/{sha256}": {
        "parameters": [_HASH],
        "get": _read_photo(),
        "put": _put_photo(),
    },
}
