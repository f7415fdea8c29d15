"""What programs send, as JSON Schema: the bodies are described by what reads them."""

from typing import Any

from walkaround.rules.body import KINDS, Answer, Body
from walkaround.store.bodies import adapter
from walkaround.web.openapi_shapes import HASH, ID, INSTANT, TEXT, Schema, many, named, record

MOST = 200  # entries in one request
REFERENCE = "#/components/schemas/{model}"

# What the classes of bodies ask of members, by the name of the list that they stand in.
_ASKED: dict[str, Schema] = {
    "_ids": {"format": "uuid"},
    "_instants": {"format": "date-time"},
    "_words": {"minLength": 1, "pattern": r"\S"},
    "_amounts": {"minimum": 0},
}
_SIGNER: Schema = {
    **record({"crew_number": TEXT, "sealed_pin": TEXT}),
    "description": "Who signs, if not the one signed in; never stored. `sealed_pin` is "
    'RSA-OAEP-256 with `seal_key` over the JSON {"pin", "entry": id}, as base64url.',
}


def _bodies() -> dict[str, Schema]:
    """Return a schema for each kind of body, and for what these have inside."""
    found: dict[str, Schema] = {}
    for kind, shape in KINDS.items():
        schema = adapter(kind).json_schema(ref_template=REFERENCE)
        inside = schema.pop("$defs", {})
        found |= {name: _asked(Answer, one) for name, one in inside.items()}
        found[_name(kind)] = _asked(shape, schema)
    return found


def _name(kind: str) -> str:
    return f"Body_{kind}"


def _asked(shape: type[Body], schema: Schema) -> Schema:
    """Return a schema with what its class asks beyond the types of members."""
    members = schema["properties"]
    for asking, more in _ASKED.items():
        for name in getattr(shape, asking):
            _deepest(members[name]).update(more)
    if "photos" in members:
        members["photos"]["items"] = HASH
    return schema


def _deepest(schema: Schema) -> Schema:
    """Return what is said of each value: of a list's items, of the choice that is not null."""
    if "items" in schema:
        return _deepest(schema["items"])
    return schema["anyOf"][0] if "anyOf" in schema else schema


def _sent(kind: str) -> Schema:
    """Return the schema of an entry of a kind, as it is sent."""
    return record(
        {
            "id": ID,
            "kind": {"const": kind},
            "unit": TEXT,
            "made_at": INSTANT,
            "body": named(_name(kind)),
        },
        device=TEXT,
        n={"type": "integer"},
        seen=record({"seq": {"type": "integer"}, "hash": TEXT}),
        signer=_SIGNER,
    )


def _batch() -> Schema:
    kinds: dict[str, Any] = {"oneOf": [_sent(kind) for kind in KINDS]}
    schema = record({"sent_at": INSTANT, "entries": {**many(kinds), "maxItems": MOST}})
    return {**schema, "description": "A member that is null counts as absent."}


BODIES: dict[str, Schema] = {**_bodies(), "Batch": _batch()}
