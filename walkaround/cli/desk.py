"""What every command works on: the settings, a session of the site, the time."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from walkaround import clock, config
from walkaround.rules import instant
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import keys, schema, settings, site
from walkaround.store.db import make_engine, make_session


class NoSite(Refusal):
    sentence = N_("There is no site here yet: run walkaround init first.")


class NoDate(Refusal):
    sentence = N_("%(text)s is no date: write it like 2026-12-31.")


@dataclass(frozen=True)
class Desk:
    """One command's ground."""

    config: config.Config
    db: Session
    keys: keys.Keys
    now: int

    def end_of(self, date: str) -> int:
        """Return the end of a date on the site's clock."""
        zone = ZoneInfo(settings.value(self.db, "zone") or "UTC")
        try:
            day = datetime.strptime(date, "%Y-%m-%d").replace(hour=23, minute=59, tzinfo=zone)
        except ValueError as error:
            raise NoDate(text=date) from error
        return int(day.timestamp() * 1000) + instant.MINUTE


@contextmanager
def desk(*, new: bool = False, writes: bool = True) -> Iterator[Desk]:
    """Open the site for one command; `new`: there need be none yet."""
    read = config.read(os.environ)
    read.data.mkdir(parents=True, exist_ok=True)
    engine = make_engine(read.database, journal=read.journal or None)
    schema.upgrade(engine)
    with make_session(engine, writes=writes) as db:
        if site.the_site(db) is None and not new:
            raise NoSite
        db.rollback()
        yield Desk(read, db, keys.read_or_make(read.data), clock.now())
    engine.dispose()
