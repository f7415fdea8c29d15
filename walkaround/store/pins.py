"""PINs as they are kept: argon2id over an HMAC whose key is not in the database."""

import functools
import hashlib
import hmac
import secrets
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from walkaround.rules.refusal import N_, Refusal
from walkaround.store.keys import Keys

# The least that the OWASP Password Storage sheet allows: many phones return at once, and the
# key outside the database is what keeps so few digits from being found by trying all of them.
HASHER = PasswordHasher(time_cost=2, memory_cost=19 * 1024, parallelism=1)

AT_ONCE = 4
PATIENCE = 5.0  # seconds

_turns = threading.BoundedSemaphore(AT_ONCE)


class TooBusy(Refusal):
    """So many PINs are being checked that this one has to come again."""

    sentence = N_("Many people are signing in at this moment. Try again in a few seconds.")
    retry_after = 5  # seconds


@contextmanager
def turn(patience: float = PATIENCE) -> Iterator[None]:
    """Hold one of the few places in which PINs are hashed; raise TooBusy if none comes free."""
    if not _turns.acquire(timeout=patience):
        raise TooBusy
    try:
        yield
    finally:
        _turns.release()


def hash_pin(keys: Keys, pin: str) -> str:
    """Return what is kept of a PIN."""
    return HASHER.hash(_mixed(keys, pin))


def matches(keys: Keys, pin_hash: str | None, pin: str) -> bool:
    """Check a PIN. Without a hash it takes as long and is wrong: nobody learns who is here."""
    try:
        HASHER.verify(pin_hash or _nobodys_hash(), _mixed(keys, pin))
    except (VerificationError, InvalidHashError):
        return False
    return pin_hash is not None


def outgrown(pin_hash: str) -> bool:
    """Say whether a hash was made with parameters other than today's."""
    return HASHER.check_needs_rehash(pin_hash)


def _mixed(keys: Keys, pin: str) -> bytes:
    return hmac.digest(keys.pin_key, pin.encode("utf-8", "replace"), hashlib.sha256)


@functools.cache
def _nobodys_hash() -> str:
    return HASHER.hash(secrets.token_bytes(32))
