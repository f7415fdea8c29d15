"""Checklists: find every error before it counts."""

import sys
from pathlib import Path

import click

from walkaround.cli import commands
from walkaround.store.checklists_yaml import check_paths


@commands.group()
def checklists() -> None:
    """The YAML files that say what to look at."""


@checklists.command()
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
def check(paths: tuple[Path, ...]) -> None:
    """Print every error as file:line:column: sentence; exit 1 if there is any."""
    errors = check_paths(paths)
    for error in errors:
        click.echo(str(error))
    if errors:
        sys.exit(1)
    click.echo("No errors.")
