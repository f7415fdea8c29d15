"""The files of earlier releases: a phone may still have a page of one open, or kept."""

import shutil
from pathlib import Path

from walkaround.rules.instant import DAY, SECOND

KEPT = 180 * DAY


def keep(files: Path, release: str, folder: Path, now: int) -> None:
    """Keep a release's files, whole or not at all, and forget those that were last here too long
    ago."""
    kept, draft = folder / release, folder / f".{release}"
    folder.mkdir(exist_ok=True)
    if not kept.is_dir():
        shutil.rmtree(draft, ignore_errors=True)
        shutil.copytree(files, draft)
        draft.rename(kept)
    kept.touch()
    for one in folder.iterdir():
        if now - one.stat().st_mtime * SECOND > KEPT:
            shutil.rmtree(one)


def folder_of(release: str, folder: Path) -> Path | None:
    """Return where the files of a release are kept, if they are."""
    kept = folder / release
    return kept if kept.is_dir() else None
