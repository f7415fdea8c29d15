"""Runs commands in this process, as somebody at the server does."""

import pytest
from click.testing import CliRunner, Result

from walkaround import cli
from walkaround.cli import commands


def run(*words: str) -> Result:
    """Run a command as `main` does, refusals included."""
    given = words[0].split() if len(words) == 1 else list(words)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sys.argv", ["walkaround", *given])
        return CliRunner().invoke(_main, standalone_mode=False)


@commands.command(hidden=True)
def _main() -> None:
    cli.main()
