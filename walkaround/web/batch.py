"""A batch of entries as it was sent: its size, its JSON, its shape."""

from collections.abc import Sequence
from typing import Any

from flask import g, request
from werkzeug.exceptions import RequestEntityTooLarge, UnprocessableEntity

from walkaround.rules import instant
from walkaround.store import incoming

MOST = 200  # entries in one request
LARGEST = 4 * 1024 * 1024  # bytes in one request
DEEPEST = 100  # no entry comes near it; what does is no batch of entries


def read() -> tuple[int, Sequence[Any]]:
    """Return when the batch was sent and its entries, whatever those are like."""
    batch = _json()
    if not isinstance(batch, dict) or not isinstance(entries := batch.get("entries"), list):
        raise _unusable("The body must be a JSON object with sent_at and a list of entries.")
    if len(entries) > MOST:
        raise RequestEntityTooLarge
    try:
        return instant.parse(batch.get("sent_at")), entries  # type: ignore[arg-type]
    except ValueError as error:
        raise _unusable(f"sent_at: {error}.") from error


def _json() -> Any:
    """Return the body as JSON; None where it is none."""
    g.db.rollback()  # nobody waits for the database while a slow line sends
    sent = request.get_data(cache=False)
    if len(sent) > LARGEST:
        raise RequestEntityTooLarge
    if not request.is_json:
        return None
    try:
        made = incoming.parse(sent)
    except (ValueError, RecursionError):
        return None
    if _depth(made) > DEEPEST:
        raise _unusable(f"The body must not be nested deeper than {DEEPEST}.")
    return made


def _depth(plain: object) -> int:
    """Return how many lists and objects stand inside one another."""
    levels, inside = 0, [plain]
    while inside := [one for one in inside if isinstance(one, dict | list)]:
        levels += 1
        inside = [
            part for one in inside for part in (one.values() if isinstance(one, dict) else one)
        ]
    return levels


def _unusable(sentence: str) -> UnprocessableEntity:
    error = UnprocessableEntity(sentence)
    error.own_words = True  # type: ignore[attr-defined]
    return error
