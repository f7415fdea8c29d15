"""Reads what comes from outside into rules: shapes are judged here, meaning is not."""

import functools
import json
from collections.abc import Mapping
from typing import Any

import rfc8785
from pydantic import ConfigDict, TypeAdapter, ValidationError

from walkaround.rules.body import KINDS, Body

DEEPEST = 20  # lists and objects inside each other; no body needs half of it
TOO_DEEP = "it is nested too deeply"


class Unreadable(Exception):
    """What came could not be read; the message says what is wrong."""


def read(kind: str, plain: object) -> Body:
    """Return the body of a kind, or raise Unreadable; a member that is null counts as absent."""
    if kind not in KINDS:
        raise Unreadable(f"{kind!r} is not a kind of entry")
    try:
        made: Body = adapter(kind).validate_json(json.dumps(_without_nulls(plain)))
        return made
    except ValidationError as error:
        first = error.errors(include_url=False, include_context=False)[0]
        where = ".".join(str(step) for step in first["loc"])
        raise Unreadable(f"body{'.' if where else ''}{where}: {first['msg']}") from error
    except (ValueError, RecursionError) as error:
        raise Unreadable(f"body: {error}") from error


def canonical(plain: object) -> str:
    """Return the text after RFC 8785, or raise Unreadable where JSON has none for it."""
    try:
        return rfc8785.dumps(plain).decode()  # type: ignore[arg-type]
    except (rfc8785.CanonicalizationError, RecursionError, UnicodeError) as error:
        raise Unreadable(f"this cannot be written as JSON: {error}") from error


def odd(plain: object) -> str | None:
    """Say what no database or reader would take in a document, whatever it means, if anything."""
    waiting: list[tuple[object, int]] = [(plain, 0)]
    while waiting:
        value, depth = waiting.pop()
        if depth > DEEPEST:
            return TOO_DEEP
        if isinstance(value, str) and "\0" in value:
            return "it holds the character NUL"
        if isinstance(value, Mapping):
            waiting += [(one, depth + 1) for pair in value.items() for one in pair]
        elif isinstance(value, list):
            waiting += [(one, depth + 1) for one in value]
    return None


def keepable(text: object) -> str:
    """Return something as text that every database keeps: what none can hold is written out."""
    written = str(text).encode("utf-8", "backslashreplace").decode()
    return written.replace("\0", "\\0")


@functools.cache
def adapter(kind: str) -> TypeAdapter[Any]:
    """Return what reads and describes a kind's body: nothing is converted, unknown is ignored."""
    shape = KINDS[kind]
    shape.__pydantic_config__ = ConfigDict(strict=True)  # type: ignore[attr-defined]
    return TypeAdapter(shape)


def _without_nulls(plain: object) -> object:
    if isinstance(plain, Mapping):
        return {name: _without_nulls(value) for name, value in plain.items() if value is not None}
    if isinstance(plain, list):
        return [_without_nulls(value) for value in plain]
    return plain
