"""Labels: print them, replace one."""

from pathlib import Path

import click

from walkaround import words
from walkaround.actions.replace_label import replace_label
from walkaround.cli import commands
from walkaround.cli.desk import desk
from walkaround.cli.logbook import UnknownUnit
from walkaround.store import labels as found
from walkaround.store import settings, site, units


@commands.command("labels")
@click.argument("numbers", metavar="[UNIT...]", nargs=-1)
@click.option("--out", type=click.Path(path_type=Path), required=True, help="The PDF to write.")
def labels_(numbers: tuple[str, ...], out: Path) -> None:
    """Write A4 sheets of labels, of all units or of those named."""
    from walkaround.paper.labels import Label, labels_pdf  # here: WeasyPrint is slow to start

    with desk(writes=False) as at:
        known = {unit.number: unit for unit in units.every(at.db)}
        if missing := [number for number in numbers if number not in known]:
            raise UnknownUnit(number=missing[0])
        wanted = [known[number] for number in numbers] or list(known.values())
        made = [
            Label(
                u.number,
                u.title,
                u.machine,
                f"{at.config.base_url}/q/{found.current(at.db, u.number)}",
            )
            for u in wanted
        ]
        language, name = site.language(at.db), str(at.db.info["site"])
        call = settings.value(at.db, "call")
    out.write_bytes(labels_pdf(made, name, language, words.gettext(language), call))
    click.echo(f"{len(made)} labels are in {out}.")


@commands.group()
def label() -> None:
    """One unit's label."""


@label.command("replace")
@click.argument("number", metavar="UNIT")
def replace(number: str) -> None:
    """Give a unit a new label; the old one says so and shows nothing."""
    with desk() as at:
        if units.find(at.db, number) is None:
            raise UnknownUnit(number=number)
        at.db.rollback()
        replace_label(at.db, number, at.now, by=None)
    click.echo(f"The old label of {number} is over. Print: walkaround labels {number} --out FILE")
