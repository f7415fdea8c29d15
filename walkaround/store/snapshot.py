"""What a transaction has read already and need not read again."""

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

from sqlalchemy.orm import Session

T = TypeVar("T")


def once(db: Session, key: Hashable, read: Callable[[], T]) -> T:
    """Return what was read under this key in the transaction that is open, else read it."""
    known = _known(db)
    if known is not None and key in known:
        found: T = known[key]
        return found
    made = read()  # which opens a transaction where there was none
    if (known := _known(db)) is not None:
        known[key] = made
    return made


def forget(db: Session) -> None:
    """Read everything anew: something of it was written, or others were waited for."""
    db.info.pop("snapshot", None)


def _known(db: Session) -> dict[Hashable, Any] | None:
    """Return what the open transaction has read so far; None where no transaction is open."""
    transaction = db.get_transaction()
    if transaction is None:
        return None
    if db.info.get("snapshot", (None,))[0] is not transaction:
        db.info["snapshot"] = (transaction, {})
    known: dict[Hashable, Any] = db.info["snapshot"][1]
    return known
