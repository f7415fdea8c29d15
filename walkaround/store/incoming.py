"""Reads an entry as it was sent: its shape, its content and what that hashes to."""

import hashlib
import json
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from walkaround.rules import instant
from walkaround.rules.body import Body, is_uuid
from walkaround.store import bodies
from walkaround.store.bodies import Unreadable
from walkaround.store.refused import NIL

# No failure can hide in these; whatever else cannot be read raises a doubt, which blocks.
HARMLESS = frozenset(
    {"clear", "defer", "release", "return", "settle", "lay_up", "meter_change", "service"}
    | {"correction", "confirm", "hours", "fill"}
)


@dataclass(frozen=True)
class Incoming:
    """An entry that could be read; `made_at` as sent is in its content."""

    id: str
    kind: str
    unit: str
    made_at: int
    body: Body
    content: dict[str, Any]
    device: str | None
    n: int | None
    seen: dict[str, Any] | None


def parse(text: bytes) -> Any:
    """Return what a JSON text holds; ValueError or RecursionError where it is none."""
    return json.loads(text.decode("utf-8"), object_pairs_hook=_members)


def content_of(sent: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the same id must come with again."""
    plain = {name: sent.get(name) for name in ("kind", "unit", "made_at", "body")}
    try:
        if bodies.odd(plain) != bodies.TOO_DEEP:
            bodies.canonical(plain)
            return plain
        return {"text": json.dumps(plain)}
    except Unreadable:
        return {
            "text": json.dumps(plain)
        }  # JSON has no canonical text for it; keep it all the same
    except RecursionError:
        return {"text": "nested too deeply to be written"}


def hash_of(content: Mapping[str, Any]) -> str:
    """Return the SHA-256, in hex, of a content's canonical text (RFC 8785)."""
    return hashlib.sha256(bodies.canonical(content).encode()).hexdigest()


def about(sent: Mapping[str, Any]) -> str:
    """Return the id that a doubt about this speaks of: its own, or one made of its content."""
    id = sent.get("id")
    return str(id).lower() if is_uuid(id) else str(uuid.uuid5(NIL, hash_of(content_of(sent))))


def raises_doubt(sent: Mapping[str, Any]) -> bool:
    """Say whether it must block where it cannot be read."""
    return str(sent.get("kind")) not in HARMLESS


def read(sent: Mapping[str, Any]) -> Incoming:
    """Return the entry that was sent, or raise Unreadable."""
    if not is_uuid(sent.get("id")):
        raise Unreadable("id: an entry needs a UUID, made where the entry was made")
    content = content_of(sent)
    if "text" in content:
        raise Unreadable("this cannot be written as canonical JSON (RFC 8785)")
    if why := bodies.odd(content):
        raise Unreadable(why)
    try:
        made_at = instant.parse(sent.get("made_at"))  # type: ignore[arg-type]
    except ValueError as error:
        raise Unreadable(f"made_at: {error}") from error
    return Incoming(
        id=str(sent["id"]).lower(),
        kind=str(sent.get("kind")),
        unit=str(sent["unit"]),
        made_at=made_at,
        body=bodies.read(str(sent.get("kind")), sent.get("body")),
        content=content,
        device=_optional(sent, "device", str),
        n=_optional(sent, "n", int),
        seen=_optional(sent, "seen", dict),
    )


def _members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return an object. A name that stands twice has the list of its values, which nothing takes:
    to read only one of `"answer": "defect", "answer": "in_order"` could lose the defect."""
    values: dict[str, list[Any]] = {}
    for name, value in pairs:
        values.setdefault(name, []).append(value)
    return {name: found[0] if len(found) == 1 else found for name, found in values.items()}


def _optional(sent: Mapping[str, Any], name: str, kind: type) -> Any:
    value = sent.get(name)
    if value is not None and (not isinstance(value, kind) or isinstance(value, bool)):
        raise Unreadable(f"{name}: this must be {kind.__name__}")
    if why := bodies.odd(value):
        raise Unreadable(f"{name}: {why}")
    bodies.canonical(value)
    return value
