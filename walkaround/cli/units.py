"""Units."""

import click

from walkaround.actions.add_unit import add_unit
from walkaround.actions.set_unit import set_unit
from walkaround.cli import commands
from walkaround.cli.desk import desk

LIMIT = click.option(
    "--biodiesel-limit", type=float, help="The highest blend it takes, in percent."
)


@commands.group()
def unit() -> None:
    """The units of the fleet."""


@unit.command("add")
@click.option("--number", required=True, help="The painted number, like L07.")
@click.option("--machine", required=True, help="The kind, like wheel loader.")
@click.option("--title", help="What it is called beside its number.")
@click.option("--hours", type=float, help="What its hour meter shows now.")
@LIMIT
def add_unit_(
    number: str, machine: str, title: str | None, hours: float | None, biodiesel_limit: float | None
) -> None:
    """Add a unit, with a label of its own."""
    with desk() as at:
        made = add_unit(
            at.db,
            number,
            machine,
            at.now,
            title=title,
            hours=hours,
            biodiesel_limit=biodiesel_limit,
        )
    click.echo(f"{made.number}, {made.machine}, is in the fleet; nobody has walked it yet.")


@unit.command("set")
@click.option("--number", required=True)
@click.option("--machine")
@click.option("--title")
@LIMIT
def set_unit_(
    number: str, machine: str | None, title: str | None, biodiesel_limit: float | None
) -> None:
    """Change what is said of a unit."""
    with desk() as at:
        made = set_unit(
            at.db, number, at.now, machine=machine, title=title, biodiesel_limit=biodiesel_limit
        )
    click.echo(f"{made.number}: {made.title}, {made.machine}.")
