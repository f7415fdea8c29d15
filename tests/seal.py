"""Seals a PIN as a phone does: from the JWK that `/me` tells, and from nothing else."""

import base64
import json
from collections.abc import Mapping

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import padding, rsa


def seal(jwk: Mapping[str, str], pin: str, entry: str) -> str:
    """Return base64url of RSA-OAEP-256 (RFC 7518, 4.3) with a public key (RFC 7518, 6.3.1)."""
    e, n = (int.from_bytes(decoded(jwk[name]), "big") for name in ("e", "n"))
    words = json.dumps({"pin": pin, "entry": entry}).encode()
    oaep = padding.OAEP(padding.MGF1(hashes.SHA256()), hashes.SHA256(), None)
    sealed = rsa.RSAPublicNumbers(e, n).public_key().encrypt(words, oaep)
    return base64.urlsafe_b64encode(sealed).rstrip(b"=").decode()


def decoded(text: str) -> bytes:
    """Return the bytes of base64url without padding (RFC 7515, appendix C)."""
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
