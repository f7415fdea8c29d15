"""Keeps an eye on the folder of checklists: an edited file counts without a new start."""

import logging
import time
from pathlib import Path
from threading import Lock

from sqlalchemy import Engine

from walkaround.actions.take_checklists import take_checklists
from walkaround.store.db import make_session

PAUSE = 2.0  # seconds between two looks

log = logging.getLogger("walkaround")


class Watch:
    """Looks at the files now and then, and takes them in when one of them is another."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._lock = Lock()
        self._next = 0.0
        self._seen: object = None

    def look(self, engine: Engine, site: str, now: int) -> None:
        """Take in what has changed since the last look."""
        if time.monotonic() < self._next or not self._lock.acquire(blocking=False):
            return
        try:
            self._next = time.monotonic() + PAUSE
            stamp = self._stamp()
            if stamp != self._seen:
                self._take(engine, site, now)
                self._seen = stamp
        finally:
            self._lock.release()

    def _take(self, engine: Engine, site: str, now: int) -> None:
        with make_session(engine, site) as db:
            for error in take_checklists(db, self._folder, now).errors:
                log.warning("%s", error)

    def _stamp(self) -> object:
        files = sorted(self._folder.rglob("*.yaml"))
        return [(str(path), (s := path.stat()).st_mtime_ns, s.st_size) for path in files]
