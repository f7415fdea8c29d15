"""The documentation against the program."""

import dataclasses
import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from walkaround import config
from walkaround.actions.set_site import SETTINGS
from walkaround.cli import (
    check,
    checklists,
    commands,
    imports,
    labels,
    logbook,
    people,
    site,
    units,
)

TOP = Path(__file__).resolve().parent.parent
README = (TOP / "README.md").read_text()
LOADED = (check, checklists, imports, labels, logbook, people, site, units)


def all_commands(
    group: click.Group, path: str = "walkaround"
) -> Iterator[tuple[str, click.Command]]:
    for name, command in group.commands.items():
        if command.hidden:
            continue
        if isinstance(command, click.Group):
            yield from all_commands(command, f"{path} {name}")
        else:
            yield f"{path} {name}", command


@pytest.mark.parametrize(("name", "command"), list(all_commands(commands)))
def test_every_command_has_help_and_stands_in_the_readme(name: str, command: click.Command):
    assert command.help, name
    assert f"`{name}" in README, name


@pytest.mark.parametrize(("name", "command"), list(all_commands(commands)))
def test_every_option_stands_in_the_readme(name: str, command: click.Command):
    line = next(line for line in README.splitlines() if line.startswith(f"| `{name}"))

    for option in command.params:
        if isinstance(option, click.Option):
            assert option.opts[-1] in line, f"{name} {option.opts[-1]}"


@pytest.mark.parametrize("field", [field.name for field in dataclasses.fields(config.Config)])
def test_every_setting_of_the_server_stands_in_the_readme(field: str):
    assert f"`WALKAROUND_{field.upper()}`" in README


@pytest.mark.parametrize("name", SETTINGS)
def test_every_setting_of_the_site_stands_in_the_readme(name: str):
    assert f"--{name.replace('_', '-')}" in README


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md", "checklists/README.md"])
def test_every_path_that_is_named_is_there(document: str):
    text = (TOP / document).read_text()
    places = [TOP, TOP / "walkaround", (TOP / document).parent]

    for name in re.findall(r"`([\w./-]+/[\w./-]*\w\.(?:py|md|yaml|txt|html|css|js|svg))`", text):
        assert any((place / name).exists() for place in places), f"{document} names {name}"
