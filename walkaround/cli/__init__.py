"""Commands: each calls one action and prints one sentence."""

import sys

import click

from walkaround.config import BadSetting
from walkaround.rules.refusal import Refusal


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def commands() -> None:
    """Walk round the machine before the shift; the record decides whether it may run.

    Settings come from WALKAROUND_* variables (WALKAROUND_DATA is the folder of database,
    photos and keys). The program records and reminds; it never says that a machine is safe.
    """


def main() -> None:
    """Run a command; a refusal is one sentence on standard error and exit status 1."""
    from walkaround.cli import (  # noqa: F401
        check,
        checklists,
        demo,
        imports,
        labels,
        logbook,
        people,
        site,
        units,
    )

    try:
        commands()
    except (Refusal, BadSetting, ValueError, LookupError) as error:
        click.echo(str(error), err=True)
        sys.exit(2 if isinstance(error, BadSetting) else 1)
