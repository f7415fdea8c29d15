"""Every check of a site in one command."""

import sqlite3
import sys
from collections.abc import Iterator

import click

from walkaround.cli import commands
from walkaround.cli.desk import Desk, desk
from walkaround.store import logbook
from walkaround.store.checklists_yaml import check_paths
from walkaround.store.db import sound_journal


@commands.command()
def check() -> None:
    """Look at settings, lists, logbooks and the database engine; exit 1 if something is wrong."""
    with desk(writes=False) as at:
        wrong = [*_lists(at), *_logbooks(at)]
        notes = [*_engine(at), *_address(at)]
    for sentence in notes:
        click.echo(f"Note: {sentence}")
    for sentence in wrong:
        click.echo(sentence, err=True)
    if wrong:
        sys.exit(1)
    click.echo("Nothing is wrong.")


def _lists(at: Desk) -> Iterator[str]:
    for error in check_paths([at.config.checklists]):
        yield str(error)


def _logbooks(at: Desk) -> Iterator[str]:
    for number in logbook.numbers(at.db):
        if found := logbook.verify(at.db, number):
            yield f"{found.unit}, entry {found.seq}: {found.why}."


def _engine(at: Desk) -> Iterator[str]:
    if at.config.database.startswith("sqlite") and sound_journal() == "delete":
        yield (
            f"SQLite {sqlite3.sqlite_version} has a known fault in its write-ahead log, so the "
            "slower rollback journal is used, with every commit synced. 3.51.3 or newer is better."
        )


def _address(at: Desk) -> Iterator[str]:
    if not at.config.https:
        yield (
            f"People reach the site at {at.config.base_url}, without HTTPS: "
            "phones then keep no work and scan nothing by themselves."
        )
