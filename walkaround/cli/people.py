"""People, phones and tokens."""

import click

from walkaround.actions.add_person import add_person
from walkaround.actions.add_phone import add_phone
from walkaround.actions.add_token import add_token
from walkaround.actions.person_leaves import person_leaves
from walkaround.actions.revoke_token import revoke_token
from walkaround.actions.set_person import set_person
from walkaround.cli import commands
from walkaround.cli.desk import desk

ROLES = click.Choice(["operator", "mechanic", "supervisor"])


@commands.group()
def person() -> None:
    """The people of the site."""


@person.command("add")
@click.option("--name", required=True)
@click.option("--crew-number", required=True, help="Never used again for somebody else.")
@click.option(
    "--role", "roles", type=ROLES, multiple=True, required=True, help="Again for another."
)
@click.option("--pin", required=True, help="At least four digits.")
@click.option("--until", help="The last day here, like 2026-12-31.")
def add_person_(
    name: str, crew_number: str, roles: tuple[str, ...], pin: str, until: str | None
) -> None:
    """Add somebody with a crew number, roles and a PIN."""
    with desk() as at:
        end = at.end_of(until) if until else None
        at.db.rollback()
        made = add_person(at.db, at.keys, crew_number, name, roles, pin, at.now, until=end)
    click.echo(
        f"{made.name} is here with the crew number {made.crew_number}: {', '.join(made.roles)}."
    )


@person.command("set")
@click.option("--crew-number", required=True)
@click.option("--name")
@click.option("--role", "roles", type=ROLES, multiple=True, help="The roles from now on.")
@click.option("--pin", help="A new PIN.")
@click.option("--until", help="The last day here, like 2026-12-31.")
def set_person_(
    crew_number: str, name: str | None, roles: tuple[str, ...], pin: str | None, until: str | None
) -> None:
    """Change somebody's name, roles, PIN or last day."""
    with desk() as at:
        end = at.end_of(until) if until else None
        at.db.rollback()
        made = set_person(
            at.db, at.keys, crew_number, at.now, name=name, roles=roles or None, pin=pin, until=end
        )
    click.echo(f"{made.name}, {made.crew_number}: {', '.join(made.roles)}.")


@person.command("leave")
@click.option("--crew-number", required=True)
def leave(crew_number: str) -> None:
    """Somebody leaves: nothing they sign from now on counts fully."""
    with desk() as at:
        made = person_leaves(at.db, crew_number, at.now)
    click.echo(f"{made.name}, {made.crew_number}, has left.")


@commands.group()
def phone() -> None:
    """The phones on which PINs work."""


@phone.command("add")
@click.option("--name", help="What it is called on the supervisor's page.")
def add_phone_(name: str | None) -> None:
    """Print a link that enrols one browser, once, within ten minutes."""
    with desk() as at:
        code = add_phone(at.db, name, at.now)
        click.echo(f"{at.config.base_url}/enrol/{code}")


@commands.group()
def token() -> None:
    """Tokens with which programs act as a person."""


@token.command("add")
@click.option("--crew-number", required=True)
def add_token_(crew_number: str) -> None:
    """Print a token, alone; it is shown this once."""
    with desk() as at:
        click.echo(add_token(at.db, crew_number, at.now))


@token.command("revoke")
@click.argument("name")
def revoke(name: str) -> None:
    """End a token, named by its id or by itself."""
    with desk() as at:
        click.echo(f"The token {revoke_token(at.db, name, at.now)} is over.")
