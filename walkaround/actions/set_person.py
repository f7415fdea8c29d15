"""Change what is known of a person."""

from collections.abc import Iterable
from typing import TypedDict, Unpack

from sqlalchemy.orm import Session

from walkaround.rules import person as rules
from walkaround.rules.person import Person
from walkaround.rules.pin import proper_pin
from walkaround.store import attempts, people, pins, sessions
from walkaround.store.db import retried
from walkaround.store.keys import Keys
from walkaround.store.models.people import PersonRolesRow, PersonRow


class Changes(TypedDict, total=False):
    """What may be changed; None stays as it was, `stays` takes an end of their time away."""

    name: str | None
    roles: Iterable[str] | None
    pin: str | None
    until: int | None
    stays: bool
    language: str | None


@retried
def set_person(
    db: Session, keys: Keys, crew_number: str, now: int, **changes: Unpack[Changes]
) -> Person:
    """Return the person as changed; raise the Refusal that says what does not fit.

    New roles and a new PIN end the person's sessions; a new PIN also ends all slowing.
    """
    pin, roles = changes.get("pin"), changes.get("roles")
    pin_hash = None if pin is None else _hashed(db, keys, crew_number, pin)
    row = people.require(db, crew_number)
    _set_plain(row, changes)
    if roles is not None:
        _set_roles(db, row, rules.proper_roles(roles), now)
    if pin_hash is not None:
        _set_pin(db, row, pin_hash)
    person = people.person(db, row, now)
    db.commit()
    return person


def _set_plain(row: PersonRow, changes: Changes) -> None:
    name, language, until = changes.get("name"), changes.get("language"), changes.get("until")
    if name is not None:
        row.name = rules.proper_name(name)
    if language is not None:
        row.language = language
    if until is not None or changes.get("stays"):
        row.left_at = until


def _hashed(db: Session, keys: Keys, crew_number: str, pin: str) -> str:
    checked = proper_pin(pin, people.require(db, crew_number).crew_number)
    db.rollback()  # nobody waits for the database while a PIN is hashed
    with pins.turn():
        return pins.hash_pin(keys, checked)


def _set_roles(db: Session, row: PersonRow, roles: tuple[str, ...], now: int) -> None:
    if roles == people.roles_at(db, row.crew_number, now):
        return
    words = " ".join(roles)
    db.merge(PersonRolesRow(site=row.site, crew_number=row.crew_number, since=now, roles=words))
    db.flush()
    sessions.end_of_person(db, row.crew_number)


def _set_pin(db: Session, row: PersonRow, pin_hash: str) -> None:
    row.pin_hash = pin_hash
    attempts.forget_person(db, row.crew_number)
    sessions.end_of_person(db, row.crew_number)
