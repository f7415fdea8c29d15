"""The server's keys: files beside the database, never in it and never in a backup of it."""

import base64
import functools
import hashlib
import json
import os
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import padding, rsa
from cryptography.hazmat.primitives.asymmetric.types import PrivateKeyTypes

from walkaround.rules.refusal import N_, Refusal

SEAL_BITS = 3072
SHORTEST = 32  # bytes

_PADDING = padding.OAEP(padding.MGF1(hashes.SHA256()), hashes.SHA256(), None)


class KeysRefused(Refusal):
    """A key file is not fit for use; its subclasses say why."""


class KeyReadable(KeysRefused):
    sentence = N_("%(path)s can be read by other users of this computer: run chmod 600 on it.")


class KeyBroken(KeysRefused):
    sentence = N_("%(path)s holds no key of the right kind and length: put it back from a copy.")


class KeysShared(KeysRefused):
    sentence = N_("%(path)s holds the same key as its neighbour: each key has its own value.")


@dataclass(frozen=True, repr=False)
class Keys:
    """What signs cookies, what PINs are mixed with, and what opens sealed PINs."""

    secret_key: bytes
    pin_key: bytes
    seal_key: rsa.RSAPrivateKey

    def seal_jwk(self) -> dict[str, str]:
        """Return the public half of the seal key as a JWK (RFC 7517), its thumbprint as `kid`."""
        numbers = self.seal_key.public_key().public_numbers()
        jwk = {"e": _number(numbers.e), "kty": "RSA", "n": _number(numbers.n)}
        return jwk | {"alg": "RSA-OAEP-256", "use": "enc", "kid": thumbprint(jwk)}

    def unseal(self, text: str) -> dict[str, str]:
        """Return the `pin` and `entry` that were sealed; ValueError for anything else."""
        sealed = _bytes(text, self.seal_key.key_size // 8)
        words = json.loads(self.seal_key.decrypt(sealed, _PADDING))
        if not isinstance(words, dict):
            raise ValueError("what was sealed is no object")
        pin, entry = words.get("pin"), words.get("entry")
        if not isinstance(pin, str) or not isinstance(entry, str):
            raise ValueError("what was sealed lacks its pin or entry")
        return {"pin": pin, "entry": entry}


def read_or_make(data: Path) -> Keys:
    """Return the keys in a data folder, made there at the first time; raise KeysRefused."""
    folder = data / "keys"
    data.mkdir(parents=True, exist_ok=True)
    folder.mkdir(mode=0o700, exist_ok=True)
    secret_key = _random(folder / "secret_key")
    pin_key = _random(folder / "pin_key")
    if secret_key == pin_key:
        raise KeysShared(path=folder / "pin_key")
    return Keys(secret_key, pin_key, _seal_key(folder / "seal_key.pem"))


def thumbprint(jwk: dict[str, str]) -> str:
    """Return the RFC 7638 thumbprint of an RSA key's required members."""
    text = json.dumps({name: jwk[name] for name in ("e", "kty", "n")}, separators=(",", ":"))
    return _base64url(hashlib.sha256(text.encode()).digest())


def _random(path: Path) -> bytes:
    try:
        key = bytes.fromhex(_kept(path, lambda: secrets.token_hex(SHORTEST).encode()).decode())
    except ValueError as error:
        raise KeyBroken(path=path) from error
    if len(key) < SHORTEST:
        raise KeyBroken(path=path)
    return key


def _seal_key(path: Path) -> rsa.RSAPrivateKey:
    try:
        key = _checked(_kept(path, _new_seal_key))
    except ValueError as error:
        raise KeyBroken(path=path) from error
    if not isinstance(key, rsa.RSAPrivateKey) or key.key_size < SEAL_BITS:
        raise KeyBroken(path=path)
    return key


@functools.lru_cache(maxsize=1)
def _checked(pem: bytes) -> PrivateKeyTypes:
    """Return the key in a PEM file; the check of its numbers takes a tenth of a second."""
    return serialization.load_pem_private_key(pem, None)


def _new_seal_key() -> bytes:
    return rsa.generate_private_key(65537, SEAL_BITS).private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _kept(path: Path, make: Callable[[], bytes]) -> bytes:
    """Return what a key file holds, after making it if it is not there."""
    if not path.exists():
        _write_once(path, make())
    if path.stat().st_mode & 0o077:
        raise KeyReadable(path=path)
    return path.read_bytes()


def _write_once(path: Path, content: bytes) -> None:
    """Make a file that is there whole or not at all; the first of two processes wins."""
    draft = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.link(draft, path)  # unlike a rename it never replaces what another process has made
    except FileExistsError:
        pass
    finally:
        draft.unlink()
    _flush_folder(path.parent)


def _flush_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _number(number: int) -> str:
    return _base64url(number.to_bytes((number.bit_length() + 7) // 8, "big"))


def _base64url(content: bytes) -> str:
    return base64.urlsafe_b64encode(content).rstrip(b"=").decode()


def _bytes(text: str, length: int) -> bytes:
    """Decode base64url of so many bytes; ValueError otherwise, before any costly step."""
    bare = text.rstrip("=")
    if len(bare) > length * 2:
        raise ValueError("the seal is too long")
    content = base64.b64decode(bare + "=" * (-len(bare) % 4), altchars=b"-_", validate=True)
    if len(content) != length:
        raise ValueError("the seal has the wrong length")
    return content
