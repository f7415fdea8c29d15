"""Take in what waited on a phone and came as a file: the photos first, then each entry."""

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from walkaround.actions.add_photo import add_photo
from walkaround.actions.check_pin import FILE
from walkaround.actions.check_signers import check_signers, sender_of
from walkaround.actions.enter import Result, Sender, enter
from walkaround.rules.person import is_crew_number
from walkaround.rules.refusal import Refusal
from walkaround.store import photos
from walkaround.store.keys import Keys


@dataclass(frozen=True)
class Waiting:
    """What a file holds: entries as phones send them, and photos in base64 by their SHA-256."""

    entries: Sequence[Any]
    photos: Mapping[str, Any]


@dataclass(frozen=True)
class Imported:
    """What became of each entry, in the order of the file, and of the photos."""

    results: list[Result]
    photos: int
    damaged: Mapping[str, Refusal]  # by the name that the file gives them


def import_entries(
    db: Session, keys: Keys, store: photos.Store, file: Waiting, now: int
) -> Imported:
    """Take in each photo and each entry on its own; taken in again, all of it is known."""
    damaged: dict[str, Refusal] = {}
    for name, text in file.photos.items():
        try:
            # Nobody's, until an entry names it: the file does not prove who took it.
            add_photo(db, store, _bytes(text), "", now, name)
        except Refusal as error:
            damaged[name] = error
    signed = check_signers(db, keys, file.entries, FILE, now)
    results = [_one(db, keys, entry, signed, now) for entry in file.entries]
    return Imported(results, len(file.photos) - len(damaged), damaged)


def _bytes(text: Any) -> bytes:
    """Return the bytes of a photo; what is no base64 did not arrive as it was sent either."""
    try:
        return base64.b64decode(text, validate=True)
    except (TypeError, ValueError) as error:
        raise photos.WrongHash from error


def _one(
    db: Session, keys: Keys, entry: Any, signed: Mapping[tuple[str, str], bool], now: int
) -> Result:
    sent = entry if isinstance(entry, dict) else {"body": entry}
    by = _maker(sent)
    # The file was not sent, so no clock can be compared: its times count as they are.
    maker = Sender(by, proved=False, named=bool(by))
    result: Result = enter(db, sent, sender_of(keys, sent, signed, maker), now)
    return result


def _maker(sent: Mapping[str, Any]) -> str:
    """Return the crew number of whoever made it without a PIN; empty where it does not say."""
    by = sent.get("by")
    return by.strip() if isinstance(by, str) and is_crew_number(by.strip()) else ""
