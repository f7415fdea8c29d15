"""Find out who signs what phones and files bring: by the PINs that are sealed in the entries."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy.orm import Session

from walkaround.actions.check_pin import check_pins
from walkaround.actions.enter import Sender
from walkaround.rules.person import is_crew_number
from walkaround.store.keys import Keys

Signed = Mapping[tuple[str, str], bool]


def check_signers(
    db: Session,
    keys: Keys,
    sent: Sequence[Any],
    through: str | None,
    now: int,
    address: str | None = None,
) -> Signed:
    """Check the PINs that are sealed in the entries, each once, before anything is written."""
    pairs = [pair for entry in sent if (pair := _sealed(keys, entry))]
    return check_pins(db, keys, pairs, through, now, address)


def sender_of(keys: Keys, entry: Mapping[str, Any], signed: Signed, own: Sender) -> Sender:
    """Return whose entry it is: of who signs it, else of whoever brought it."""
    if entry.get("signer") is None:
        return own
    pair, number = _sealed(keys, entry), _signer(entry).get("crew_number")
    proved = bool(pair and signed.get(pair))
    return Sender(number, proved, own.sent_at) if number else replace(own, proved=False)


def _sealed(keys: Keys, entry: Any) -> tuple[str, str] | None:
    """Return the crew number and PIN that sign an entry; a seal for another entry is no PIN."""
    signer = _signer(entry)
    try:
        seal = keys.unseal(signer["sealed_pin"])
    except (ValueError, KeyError, TypeError):
        return None
    return (signer["crew_number"], seal["pin"]) if seal["entry"] == entry.get("id") else None


def _signer(entry: Any) -> Mapping[str, str]:
    """Return who signs an entry and the seal; nothing where nobody can be meant."""
    signer = entry.get("signer") if isinstance(entry, dict) else None
    if not isinstance(signer, dict) or not isinstance(number := signer.get("crew_number"), str):
        return {}
    if not is_crew_number(number.strip()):
        return {}
    return {"crew_number": number.strip(), "sealed_pin": str(signer.get("sealed_pin"))}
