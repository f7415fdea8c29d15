"""Take in a photo, once; its name is the SHA-256 of what was sent."""

from sqlalchemy.orm import Session

from walkaround.store import photos
from walkaround.store.db import retried, site_of
from walkaround.store.models import PhotoRow


def add_photo(
    db: Session, store: photos.Store, data: bytes, by: str, now: int, sha256: str | None = None
) -> str:
    """Return the photo's name; raise PhotoTooLarge, WrongHash, NotAPhoto, NoRoom or PhotosBusy.

    It commits, and rolls back what the caller has not committed.
    """
    db.rollback()  # nobody waits for the database while a photo is decoded
    if len(data) > photos.LARGEST:
        raise photos.PhotoTooLarge
    name = photos.name_of(data)
    if sha256 is not None and sha256 != name:
        raise photos.WrongHash
    if not _is_here(db, name):
        large, small = photos.copies(data)
        for kind, content in (
            (photos.AS_SENT, data),
            (photos.LARGE, large),
            (photos.SMALL, small),
        ):
            store.keep(f"{name}.{kind}", content)
        _note(db, name, by, now)
    return name


def _is_here(db: Session, name: str) -> bool:
    found = photos.find(db, name) is not None
    db.rollback()
    return found


@retried
def _note(db: Session, name: str, by: str, now: int) -> None:
    """Note who sent it; the first one stays its sender."""
    if photos.find(db, name) is None:
        db.add(PhotoRow(site=site_of(db), sha256=name, by=by, received_at=now))
    db.commit()
