"""Long random secrets: made here, handed out once, kept only as fingerprints."""

import hashlib
from secrets import token_urlsafe


def make(bits: int = 256) -> str:
    """Return a new secret that fits into an address or a cookie."""
    return token_urlsafe(bits // 8)


def fingerprint(secret: str) -> str:
    """Return what is kept of a secret: random and long, so that a plain hash tells nothing."""
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()
