"""What the JSON API answers with, as JSON Schema."""

from collections.abc import Sequence
from typing import Any

from walkaround.rules.checklist_format import OCCASIONS
from walkaround.rules.person import ROLES
from walkaround.rules.verdict import STATE_OF, STATES

Schema = dict[str, Any]


def one_of(words: Sequence[str]) -> Schema:
    """Return the schema of a word that is one of these."""
    return {"type": "string", "enum": list(words)}


def many(schema: Schema) -> Schema:
    """Return the schema of a list."""
    return {"type": "array", "items": schema}


def or_null(schema: Schema) -> Schema:
    """Return the schema of something that may be null."""
    return {"anyOf": [schema, {"type": "null"}]}


def named(name: str) -> Schema:
    """Return a reference to a schema of the document."""
    return {"$ref": f"#/components/schemas/{name}"}


def record(always: dict[str, Schema], **sometimes: Schema) -> Schema:
    """Return the schema of an object: what it always has, and what it may lack."""
    members = {**always, **{name.rstrip("_"): schema for name, schema in sometimes.items()}}
    return {"type": "object", "properties": members, "required": list(always)}


TEXT: Schema = {"type": "string"}
ID: Schema = {"type": "string", "format": "uuid"}
INSTANT: Schema = {"type": "string", "format": "date-time"}
HASH: Schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
NUMBER: Schema = {"type": "number"}
COUNT: Schema = {"type": "integer", "minimum": 0}
YES_OR_NO: Schema = {"type": "boolean"}
ANYTHING: Schema = {}

_PERSON = {"name": TEXT, "crew_number": TEXT, "roles": many(one_of(ROLES))}
_SEAL_KEY = dict.fromkeys(("kty", "n", "e", "alg", "use", "kid"), TEXT)
_SERVICE_STATES = ("far", "soon", "due", "overdue")
_ANSWERS = ("in_order", "defect", "no_worse", "not_fitted", "could_not_check", "value")

SHAPES: dict[str, Schema] = {
    "Problem": {
        **record({"type": TEXT, "title": TEXT, "status": COUNT, "detail": TEXT}),
        "description": "RFC 9457; `type` is `csrf` where only the token was missing or too old.",
    },
    "Me": record(
        {
            **_PERSON,
            "site": TEXT,
            "now": INSTANT,
            "shift": or_null(record({"start": INSTANT, "end": INSTANT})),
            "seal_key": {**record(_SEAL_KEY), "description": "JWK, RFC 7517"},
        },
        csrf={**TEXT, "description": "With a session only: for the header X-CSRF-Token"},
    ),
    "People": record({"people": many(record({**_PERSON, "active": YES_OR_NO}))}),
    "Units": record({"units": many(named("Unit")), "revision": COUNT}),
    "Unit": record(
        {
            "number": TEXT,
            "title": or_null(TEXT),
            "machine": TEXT,
            "seq": COUNT,
            "hash": HASH,
            "verdict": named("Verdict"),
            "walked": or_null(named("Walk")),
            "last_walked": or_null(named("Walk")),
            "hours": or_null(NUMBER),
            "open_defects": many(named("Line")),
            "next_service": or_null(named("Countdown")),
        }
    ),
    "Verdict": record(
        {
            "state": one_of(STATES),
            "may_run": YES_OR_NO,
            "valid_until": or_null(INSTANT),
            "reasons": many(named("Reason")),
        }
    ),
    "Reason": record(
        {"code": one_of(list(STATE_OF)), "text": TEXT},
        item=TEXT,
        defects=many(ID),
        hold=ID,
        lay_up=ID,
        about=ID,
    ),
    "Walk": record({"entry": ID, "by": TEXT, "at": INSTANT, "for_shift": or_null(INSTANT)}),
    "Line": record(
        {
            "item": or_null(TEXT),
            "title": TEXT,
            "critical": YES_OR_NO,
            "state": one_of(("open", "deferred")),
            "defects": many(ID),
            "since": INSTANT,
        },
        until=INSTANT,
        until_hours=NUMBER,
        restrictions=TEXT,
    ),
    "Countdown": record(
        {"interval": TEXT, "forecast": or_null(INSTANT), "state": one_of(_SERVICE_STATES)},
        due_at_h=NUMBER,
        in_h=NUMBER,
        due_on={"type": "string", "format": "date"},
    ),
    "Countdowns": record({"services": many(named("Countdown"))}),
    "Checklist": record(
        {
            "checklist": TEXT,
            "version": HASH,
            "title": TEXT,
            "cautions": many(TEXT),
            "stations": many(
                record(
                    {
                        "station": TEXT,
                        "title": TEXT,
                        "engine": one_of(("stopped", "running")),
                        "items": many(named("Item")),
                    }
                )
            ),
        }
    ),
    "Item": record(
        {
            "item": TEXT,
            "look": TEXT,
            "good": TEXT,
            "critical": YES_OR_NO,
            "due": YES_OR_NO,
            "photo": one_of(("no", "asked")),
            "findings": many(record({"finding": TEXT, "title": TEXT})),
            "answers": {**many(one_of(_ANSWERS)), "description": "`value`: a measured number"},
        },
        how=TEXT,
        measure=record({"quantity": TEXT, "in": TEXT}, low=NUMBER, high=NUMBER),
    ),
    "Logbook": record({"unit": TEXT, "entries": many(named("Entry"))}),
    "Entry": record(
        {
            "site": TEXT,
            "unit": TEXT,
            "seq": COUNT,
            "id": ID,
            "kind": TEXT,
            "made_at": INSTANT,
            "received_at": INSTANT,
            "skew_ms": {"type": "integer"},
            "by": or_null(TEXT),
            "roles": many(one_of(ROLES)),
            "signature": one_of(("confirmed", "unconfirmed")),
            "body": {"type": "object"},
            "device": or_null(TEXT),
            "n": or_null({"type": "integer"}),
            "seen": or_null({"type": "object"}),
            "prev": HASH,
            "hash": {**HASH, "description": "SHA-256 over RFC 8785 of all other members"},
        }
    ),
    "Kept": {"type": "object"},
    "AllRefused": record({"refused": many(named("Refused"))}),
    "Refused": record(
        {
            **{name: or_null(TEXT) for name in ("id", "unit", "kind", "by")},
            "received_at": INSTANT,
            "why": TEXT,
            "content": {"type": "object"},
        }
    ),
    "Results": record({"results": many(named("Result"))}),
    "Result": record(
        {"id": ANYTHING, "result": one_of(("accepted", "known", "refused"))},
        why=TEXT,
        defects=many(ID),
        verdict=named("Verdict"),
    ),
    "Photo": record({"sha256": HASH}),
    "Occasion": one_of(OCCASIONS),
}
