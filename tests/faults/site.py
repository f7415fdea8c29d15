"""The site of the fault runs: made once, copied for each run, served, killed and served again."""

import os
import shutil
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy.orm import Session

from tests import make
from tests.door import Door
from tests.faults.work import HOLDERS, SOUND, WORN
from tests.server import PATIENCE, Site, free_port, serve, stop
from walkaround import clock
from walkaround.actions.add_person import add_person
from walkaround.actions.add_phone import add_phone
from walkaround.actions.add_unit import add_unit
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.actions.open_site import open_site
from walkaround.actions.sign_in import sign_in
from walkaround.actions.take_checklists import take_checklists
from walkaround.rules import instant
from walkaround.store import keys, schema
from walkaround.store.db import make_engine, make_session
from walkaround.store.keys import Keys


@dataclass(frozen=True)
class SmallSite(Site):
    """A site that has only the tests' own small lists."""

    @property
    def environment(self) -> dict[str, str]:
        return super().environment | {"WALKAROUND_CHECKLISTS": str(make.LISTS)}

    @property
    def address(self) -> tuple[str, int]:
        return "127.0.0.1", int(self.url.rpartition(":")[2])

    @contextmanager
    def door(self, now: int) -> Iterator[Door]:
        """Give its own door, beside the server."""
        engine = make_engine(f"sqlite:///{self.data}/walkaround.db")
        with make_session(engine, make.SITE) as db:
            yield Door(db, now)
        engine.dispose()


@dataclass(frozen=True)
class Held:
    """A phone in somebody's hand: its id and the cookies of a phone on which they signed in."""

    holder: str
    device: str
    cookies: dict[str, str]


@dataclass(frozen=True)
class Ground:
    """A site in which twenty phones are enrolled and nothing has happened yet."""

    data: Path
    shift: int  # the start of its one daily shift
    phones: list[Held]

    def copy(self, folder: Path) -> SmallSite:
        """Return the same site once more, at an address of its own."""
        shutil.copytree(self.data, folder)
        return SmallSite(folder, f"http://127.0.0.1:{free_port()}")


@dataclass
class Server:
    """The server of a site, which dies whole and at once, and is started again."""

    site: Site

    def __post_init__(self) -> None:
        self.start()

    def start(self) -> None:
        self._process = serve(self.site, apart=True)

    def kill(self) -> None:
        """Kill all its processes at once, without a word to any of them."""
        os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()

    def has_died(self) -> None:
        """Wait until it is gone by itself."""
        self._process.wait(PATIENCE)

    def __enter__(self) -> "Server":
        return self

    def __exit__(self, *_error: object) -> None:
        stop(self._process)


def open_ground(data: Path) -> Ground:
    """Make the site: it has been there for a day, and its one daily shift has lately begun."""
    now = clock.now()
    shift = (now // instant.HOUR - 2) * instant.HOUR  # it ends, with all sessions, long after a run
    before, made = now - instant.DAY, keys.read_or_make(data)
    engine = make_engine(f"sqlite:///{data}/walkaround.db")
    schema.upgrade(engine)
    with make_session(engine) as db:
        open_site(db, make.SITE, "Etc/UTC", instant.text(shift)[11:16], before)
        take_checklists(db, make.LISTS, before)
        for name, (number, role, pin) in make.CREW.items():
            add_person(db, made, number, name, [role], pin, before)
        for unit in SOUND + WORN:
            add_unit(db, unit, "wheel loader", before, hours=84)
        phones = [_held(db, made, holder, now) for holder in HOLDERS]
    engine.dispose()
    return Ground(data, shift, phones)


def _held(db: Session, made: Keys, holder: str, now: int) -> Held:
    """Enrol a phone and sign its holder in."""
    before, (number, _, pin) = now - instant.DAY, make.CREW[holder]
    phone, secret = enrol_phone(db, add_phone(db, None, before), before)
    signed = sign_in(db, made, phone, number, pin, None, now, None)
    cookies = {"walkaround-phone": secret, "walkaround-session": signed.session_secret}
    return Held(holder, phone, cookies)
