"""Photos: the bytes as sent, kept and never served, and our own copies, which are."""

import hashlib
import os
import re
import secrets
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterable
from pathlib import Path
from typing import Protocol

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules.refusal import N_, Refusal
from walkaround.store import picture
from walkaround.store.db import site_of
from walkaround.store.models import PhotoRow, PhotoUseRow

LARGEST = 12 * 1024 * 1024  # bytes
AS_SENT, LARGE, SMALL = "sent", "jpg", "small.jpg"
RESERVE = 256 * 1024 * 1024  # bytes that stay free: a full disk stops photos before entries
AT_ONCE = 2
PATIENCE = 15.0  # seconds
LONGEST = 60.0  # seconds for one photo, on a machine that has much else to do

_NAME = re.compile(r"[0-9a-f]{64}")
_SIGNATURES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF")
_turns = threading.BoundedSemaphore(AT_ONCE)


class PhotoTooLarge(Refusal):
    sentence = N_("This photo is larger than 12 MB. Take it again with a smaller size.")


class NotAPhoto(Refusal):
    sentence = N_(
        "This is no photo that can be used: a single JPEG, PNG or WebP picture is needed, whole "
        "and of at most 40 megapixels."
    )


class WrongHash(Refusal):
    sentence = N_("This photo did not arrive as it was sent: its name is not its SHA-256.")


class NoRoom(Refusal):
    sentence = N_("The server has no room for photos now. Keep it and tell the supervisor.")


class PhotosBusy(Refusal):
    sentence = N_("Many photos are arriving at this moment. Try again in a few seconds.")


class Store(Protocol):
    """Where the bytes of photos are; names are made here, never outside."""

    def keep(self, name: str, content: bytes) -> None:
        """Keep bytes under a name; when this returns they outlive a power cut. Raise NoRoom."""

    def read(self, name: str) -> bytes | None:
        """Return what was kept under a name."""


class Folder:
    """A folder of this computer, with folders in it that are named by two letters of the hash."""

    def __init__(self, path: Path, *, reserve: int = RESERVE) -> None:
        self._path = path
        self._reserve = reserve

    def keep(self, name: str, content: bytes) -> None:
        folder = self._path / name[:2]
        if not folder.is_dir():
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            _flush(self._path)
            _flush(self._path.parent)
        if shutil.disk_usage(folder).free < self._reserve + len(content):
            raise NoRoom
        draft = folder / f".{secrets.token_hex(8)}"
        try:
            _write(draft, content)
            draft.rename(folder / name)
        finally:
            draft.unlink(missing_ok=True)
        _flush(folder)

    def has(self, name: str) -> bool:
        return (self._path / name[:2] / name).is_file()

    def read(self, name: str) -> bytes | None:
        try:
            return (self._path / name[:2] / name).read_bytes()
        except FileNotFoundError:
            return None


def name_of(data: bytes) -> str:
    """Return what a photo is called."""
    return hashlib.sha256(data).hexdigest()


def copies(data: bytes) -> tuple[bytes, bytes]:
    """Return a photo and its thumbnail, re-encoded; raise NotAPhoto or PhotosBusy."""
    if not data.startswith(_SIGNATURES):
        raise NotAPhoto
    if not _turns.acquire(timeout=PATIENCE):
        raise PhotosBusy
    try:
        done = subprocess.run(
            [sys.executable, "-I", picture.__file__],
            input=data,
            capture_output=True,
            timeout=LONGEST,
        )
    except subprocess.TimeoutExpired as error:
        raise PhotosBusy from error
    finally:
        _turns.release()
    if done.returncode != 0:
        raise NotAPhoto  # also where it ran out of memory or time: that is what a bomb does
    return picture.parted(done.stdout)


def find(db: Session, sha256: str) -> PhotoRow | None:
    """Return the row of a photo that is here; whatever cannot be a name is not even looked up."""
    return db.get(PhotoRow, (site_of(db), sha256)) if _NAME.fullmatch(sha256) else None


def here(db: Session, names: Iterable[str]) -> set[str]:
    """Return which of these photos are here; the others are still on their phones."""
    row = PhotoRow
    query = select(row.sha256).where(row.site == site_of(db), row.sha256.in_(list(names)))
    return set(db.scalars(query))


def may_see(db: Session, sha256: str, crew_number: str) -> bool:
    """Say whether somebody may see a photo: its sender, and everybody once an entry names it."""
    row = find(db, sha256)
    use = PhotoUseRow
    named = select(use.entry).where(use.site == site_of(db), use.sha256 == sha256).limit(1)
    return row is not None and (row.by == crew_number or db.scalar(named) is not None)


def _write(path: Path, content: bytes) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _flush(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
