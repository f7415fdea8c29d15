"""Opening a site, its settings, and serving it."""

import os
import sys

import click

from walkaround.actions.open_site import open_site
from walkaround.actions.set_site import set_site
from walkaround.actions.take_checklists import take_checklists
from walkaround.cli import commands
from walkaround.cli.desk import desk


@commands.command()
@click.option("--site", "name", required=True, help="The site's name.")
@click.option("--zone", required=True, help="Its time zone, like Europe/Madrid.")
@click.option("--shifts", required=True, help="Like 06:00,14:00,22:00 or 06:00-16:00.")
@click.option(
    "--early", default=60, show_default=True, help="Minutes before a shift for its walks."
)
@click.option("--language", type=click.Choice(["en", "es"]), default="en", show_default=True)
def init(name: str, zone: str, shifts: str, early: int, language: str) -> None:
    """Open a site in an empty data folder; a second time changes nothing and exits 1."""
    with desk(new=True) as at:
        open_site(at.db, name, zone, shifts, at.now, early=early, language=language)
        for error in take_checklists(at.db, at.config.checklists, at.now).errors:
            click.echo(str(error), err=True)
    click.echo(f"The site {name} is open. Next: walkaround person add, unit add, phone add, serve.")


@commands.group("site")
def site_group() -> None:
    """The site and its settings."""


@site_group.command("set")
@click.option("--zone", help="Time zone, from now on.")
@click.option("--shifts", help="Times of the shifts, from now on; one that runs keeps its end.")
@click.option("--early", help="Minutes before a shift in which a walk for it may begin.")
@click.option("--language", help="en or es.")
@click.option("--second-look", help="on: somebody else looks again after a critical repair.")
@click.option("--offline-limit", help="Hours for which a phone may trust what it last heard.")
@click.option("--defer-days", help="The most days for which a defect may be deferred.")
@click.option("--call", help="Whom a passer-by calls, shown where a label leads.")
@click.option("--label-hides", help="on: a label alone shows the number only.")
@click.option("--pressure", help="kPa, bar or psi: what pages show and take pressures in.")
@click.option("--length", help="mm or '1/32 in': the same for lengths, like the tread of a tyre.")
@click.option("--temperature", help="°C or °F (C, F): the same for temperatures.")
def set_(**changes: str | None) -> None:
    """Change settings from now on; what was decided by the old ones stays as it was."""
    given = {name: value for name, value in changes.items() if value is not None}
    if not given:
        raise click.UsageError("Name at least one setting.")
    with desk() as at:
        set_site(at.db, given, at.now)
    click.echo(f"From now on: {', '.join(f'{n} {v}' for n, v in given.items())}.")


@commands.command()
@click.option("--host", default="127.0.0.1", show_default=True)
@click.option("--port", default=8000, show_default=True)
@click.option("--workers", default=2, show_default=True, help="Processes that answer.")
@click.option("--threads", default=4, show_default=True, help="Threads in each of them.")
def serve(host: str, port: int, workers: int, threads: int) -> None:
    """Serve the site until it is stopped."""
    os.environ.setdefault("WALKAROUND_BASE_URL", f"http://{host}:{port}")
    words = ["--bind", f"{host}:{port}", "--workers", str(workers), "--threads", str(threads)]
    words += ["--worker-class", "gthread", "--reuse-port", "--no-control-socket", "--preload"]
    words += ["--graceful-timeout", "20", "--worker-tmp-dir", "/dev/shm", "--log-level", "warning"]
    if not os.path.isdir("/dev/shm"):
        words = [word for word in words if word not in ("--worker-tmp-dir", "/dev/shm")]
    from gunicorn import __main__ as gunicorn  # here, because no other command needs it

    # In this process: what the commands have imported need not be imported a second time.
    sys.argv = [gunicorn.__file__, *words, "walkaround.app:create_app()"]
    gunicorn.run(prog="gunicorn")
