"""What arrived and did not enter, in a form that a person can read."""

import json
from collections.abc import Iterator, Mapping
from typing import Any

from flask import g

from walkaround.rules import instant
from walkaround.rules.trouble import correction
from walkaround.store import bodies, entries
from walkaround.store.models import EntryRow
from walkaround.web.entry_words import known, lines, title
from walkaround.web.language import say
from walkaround.web.moments import moment

MOST = 200  # lines of what nobody could read
DEEPEST = 8  # steps into it: what is nested further was made to break readers


def words(content: Mapping[str, Any], skew_ms: int) -> list[str]:
    """Return the content of an entry: in words where it can be read, member by member else.

    `skew_ms` is that of what was sent: by it, when the entry was made is corrected.
    """
    try:
        made = bodies.read(str(content.get("kind")), content.get("body"))
        head = f"{title(str(content['kind']))}, {content['unit']}"
        made_at = instant.moved(instant.parse(content["made_at"]), correction(skew_ms))
    except (bodies.Unreadable, ValueError, KeyError, TypeError):
        return _plain(content)
    about = known(str(content["unit"]), [made])
    return [head, say("Made %(when)s", when=moment(made_at)), *lines(made, about)]


def of_doubt(row: EntryRow) -> list[tuple[str, list[str]]]:
    """Return the contents that a doubt speaks of: what stands, if something does, and what came."""
    doubt = json.loads(row.body)
    stands = entries.find(g.db, doubt["about"])
    came = (say("What came"), words(doubt["content"], row.skew_ms))
    if stands is None:
        return [came]
    return [(say("What stands"), words(entries.content(stands), stands.skew_ms)), came]


def _plain(content: Mapping[str, Any]) -> list[str]:
    found = [f"{name}: {value}" for name, value in _members("", content)]
    more = len(found) - MOST
    return found[:MOST] + ([say("and %(number)s more", number=more)] if more > 0 else [])


def _members(name: str, value: Any, depth: int = 0) -> Iterator[tuple[str, str]]:
    """Yield the leaves of a content with the way to each."""
    if isinstance(value, Mapping | list):
        if depth == DEEPEST:
            yield name, "..."
            return
        pairs = value.items() if isinstance(value, Mapping) else enumerate(value, 1)
        for step, inner in pairs:
            yield from _members(f"{name}.{step}" if name else str(step), inner, depth + 1)
    elif value is not None:
        yield name, str(value)[:500]
