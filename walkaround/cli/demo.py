"""The invented site: fill it once, and say how to get in."""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click
from sqlalchemy import Engine, event

from walkaround import clock, config, places
from walkaround.actions.add_phone import add_phone
from walkaround.actions.load_demo import Ground, is_full, load_demo
from walkaround.cli import commands
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import demo_site, keys, photos, schema
from walkaround.store.db import make_engine, make_session


class BeingFilled(Refusal):
    sentence = N_("The demo site in %(folder)s is being filled by another command just now.")


@commands.command()
def demo() -> None:
    """Fill an empty data folder with an invented site; print a link and three crew numbers.

    Again on the same folder it keeps everything and prints a new link. It refuses on a folder
    with a site of your own.
    """
    read = config.read(os.environ)
    read.data.mkdir(parents=True, exist_ok=True)
    described = demo_site.read(places.demo())
    with _alone(read.data):
        _fill(read, described)
        engine = make_engine(read.database, journal=read.journal or None)
        with make_session(engine) as db:
            is_full(db)  # the session belongs to the site from here on
            code = add_phone(db, None, clock.now())
        engine.dispose()
    _say(described, f"{read.base_url}/enrol/{code}")


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Let no two commands fill one folder at once; the lock goes with the process."""
    with (folder / "demo.lock").open("w") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise BeingFilled(folder=folder) from error
        yield


def _fill(read: config.Config, described: demo_site.DemoSite) -> None:
    engine = make_engine(read.database, journal=read.journal or None)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _hurry)
    schema.upgrade(engine)
    with make_session(engine) as db:
        if not is_full(db):
            store = photos.Folder(read.data / "photos")
            made = Ground(keys.read_or_make(read.data), store, described, places.checklists())
            load_demo(db, made, clock.now(), _tell)
    engine.dispose()
    _flush(engine)


def _hurry(connection: object, _record: object) -> None:
    """Sync once at the end, not after each of two thousand entries: a cut fill starts anew."""
    connection.execute("pragma synchronous=off")  # type: ignore[attr-defined]


def _flush(engine: Engine) -> None:
    for path in (Path(f"{engine.url.database}{end}") for end in ("", "-wal")):
        if engine.dialect.name == "sqlite" and path.is_file():
            with path.open("rb") as file:
                os.fsync(file.fileno())


def _tell(words: str) -> None:
    click.echo(f"  {words}", err=True)


def _say(described: demo_site.DemoSite, link: str) -> None:
    click.echo(f"Open this link once, within ten minutes; it enrols your browser:\n\n  {link}\n")
    click.echo("Then sign in as one of these three; all of them are invented:\n")
    for number in described.sign_in:
        person = described.person(number)
        role = " and ".join(person["roles"])
        click.echo(f"  {role:<11} crew number {number}, PIN {person['pin']}  ({person['name']})")
    click.echo("\nStart it again for a new link; what you have entered stays.")
