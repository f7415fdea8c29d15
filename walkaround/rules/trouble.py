"""What makes an entry unconfirmed besides its PIN."""

from walkaround.rules import answer, instant
from walkaround.rules.body import Body, Walkaround
from walkaround.rules.entry import CLOCK, LEFT, LIST
from walkaround.rules.lists import Lists

SLACK = 2 * instant.MINUTE  # a clock that is less wrong than this counts as right
AHEAD = 5 * instant.MINUTE  # no entry can have been made later than this after it came in


def correction(skew_ms: int) -> int:
    """Return by how much a phone's instants are corrected, in milliseconds."""
    return skew_ms if abs(skew_ms) >= SLACK else 0


def trouble(
    body: Body,
    made_at: int,
    received_at: int,
    lists: Lists,
    enrolled_at: int | None,
    left_at: int | None,
) -> frozenset[str]:
    """Return what is wrong with an entry, its PIN aside; `made_at` is corrected already."""
    found = set()
    if made_at > received_at + AHEAD or (enrolled_at is not None and made_at < enrolled_at):
        found.add(CLOCK)
    if left_at is not None and made_at >= left_at:
        found.add(LEFT)
    if isinstance(body, Walkaround):
        known = lists.find(body.checklist, body.version, by=received_at)
        if known is None or answer.strangers(body, known):
            found.add(LIST)
        if instant.parse(body.finished_at) < instant.parse(body.started_at):
            found.add(CLOCK)
    return frozenset(found)
