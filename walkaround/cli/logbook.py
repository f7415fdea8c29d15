"""Logbooks: show, verify, export, replay."""

import json
import sys
from pathlib import Path

import click

from walkaround.actions.replay_logbook import replay_logbook
from walkaround.cli import commands
from walkaround.cli.desk import Desk, desk
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import entries, logbook


class UnknownUnit(Refusal):
    sentence = N_("There is no unit %(number)s.")


@commands.group("logbook")
def logbook_group() -> None:
    """The units' logbooks."""


@logbook_group.command()
@click.argument("number", metavar="UNIT")
def show(number: str) -> None:
    """Print a unit's entries, oldest first."""
    with desk(writes=False) as at:
        for wanted in _wanted(at, (number,)):
            for row in entries.of_unit(at.db, wanted):
                who = f"{row.by or 'the server'} ({row.signature})"
                body = json.dumps(json.loads(row.body), ensure_ascii=False)
                click.echo(f"{row.seq:>5} {row.made_at} {row.kind:<12} {who}  {body}")


@logbook_group.command()
@click.argument("numbers", metavar="[UNIT...]", nargs=-1)
def verify(numbers: tuple[str, ...]) -> None:
    """Say whether every chain holds; exit 1 and name unit and entry where one does not."""
    with desk(writes=False) as at:
        wanted = _wanted(at, numbers)
        breaks = [found for number in wanted if (found := logbook.verify(at.db, number))]
    for one in breaks:
        click.echo(f"{one.unit}, entry {one.seq}: {one.why}.", err=True)
    if breaks:
        sys.exit(1)
    click.echo(f"The logbooks of {len(wanted)} units hold.")


@logbook_group.command()
@click.argument("numbers", metavar="[UNIT...]", nargs=-1)
@click.option("--out", type=click.Path(path_type=Path), required=True, help="The file to write.")
def export(numbers: tuple[str, ...], out: Path) -> None:
    """Write entries as JSON Lines, one a line."""
    count = 0
    with desk(writes=False) as at, out.open("w", encoding="utf-8") as file:
        for number in _wanted(at, numbers):
            for line in logbook.export(at.db, number):
                file.write(line + "\n")
                count += 1
    click.echo(f"{count} entries are in {out}.")


@logbook_group.command()
def replay() -> None:
    """Rebuild the tables from the entries."""
    with desk() as at:
        count = replay_logbook(at.db)
    click.echo(f"The tables follow from {count} entries again.")


def _wanted(at: Desk, numbers: tuple[str, ...]) -> list[str]:
    known = logbook.numbers(at.db)
    for number in numbers:
        if number not in known:
            raise UnknownUnit(number=number)
    return list(numbers) or known
