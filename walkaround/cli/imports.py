"""What comes as a file."""

from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from walkaround.actions.import_entries import Imported, Waiting, import_entries
from walkaround.cli import commands
from walkaround.cli.desk import desk
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import incoming
from walkaround.store.photos import Folder


class NoFile(Refusal):
    sentence = N_("%(path)s cannot be read: %(why)s. Nothing was entered.")


class BrokenFile(Refusal):
    sentence = N_("%(path)s is no file of entries that waited on a phone. Nothing was entered.")


@commands.group("import")
def import_group() -> None:
    """What comes as a file."""


@import_group.command()
@click.argument("file", type=click.Path(path_type=Path))
def entries(file: Path) -> None:
    """Take in the entries and photos that waited on a phone and were saved to a file."""
    waiting = _read(file)
    with desk() as at:
        done = import_entries(at.db, at.keys, Folder(at.config.data / "photos"), waiting, at.now)
    for entry, result in zip(waiting.entries, done.results, strict=True):
        if result.result == "refused":
            click.echo(_one_line(f"{_called(entry)} was refused: {result.why}"))
    for name, error in done.damaged.items():
        click.echo(_one_line(f"The photo {name} was not taken: {error}"))
    click.echo(_sentence(done))


def _read(path: Path) -> Waiting:
    try:
        made = incoming.parse(path.read_bytes())
    except OSError as error:
        raise NoFile(path=path, why=error.strerror) from error
    except (ValueError, RecursionError) as error:
        raise BrokenFile(path=path) from error
    found = made if isinstance(made, dict) else {}
    entries, photos = found.get("entries"), found.get("photos", {})
    if not isinstance(entries, list) or not isinstance(photos, dict):
        raise BrokenFile(path=path)
    return Waiting(entries, photos)


def _called(entry: Any) -> str:
    """Return how a refused entry is told from others."""
    known: Mapping[str, Any] = entry if isinstance(entry, dict) else {}
    id, kind, unit = (str(known.get(name))[:80] for name in ("id", "kind", "unit"))
    return f"The entry {id} ({kind}, unit {unit})"


def _one_line(text: str) -> str:
    """Return a text without what would end the line or steer a terminal: files may say anything."""
    return "".join(mark if mark.isprintable() else " " for mark in text)


def _sentence(done: Imported) -> str:
    """Say what became of all of it."""
    became = Counter(result.result for result in done.results)
    partly = sum(1 for one in done.results if one.result == "accepted" and one.why)
    told = (
        f"{became['accepted']} entries were accepted ({partly} do not count fully), "
        f"{became['known']} known, {became['refused']} refused; {done.photos} photos are here"
    )
    lost = len(done.damaged)
    return f"{told}, {lost} were not taken: keep the file." if lost else f"{told}."
