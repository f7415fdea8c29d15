"""Find people, and what they were at an instant."""

from collections import defaultdict
from collections.abc import Sequence

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from walkaround.rules import person as rules
from walkaround.rules.person import Person
from walkaround.store.db import site_of
from walkaround.store.models.people import PersonRolesRow, PersonRow

History = list[tuple[int, tuple[str, ...]]]


def find(db: Session, crew_number: str) -> PersonRow | None:
    """Return the person of a crew number, also one who has left."""
    number = crew_number.strip()
    if not rules.is_crew_number(number):
        return None
    return db.get(PersonRow, (site_of(db), number), populate_existing=True)


def require(db: Session, crew_number: str) -> PersonRow:
    """Return the person of a crew number; raise UnknownPerson."""
    row = find(db, crew_number)
    if row is None:
        raise rules.UnknownPerson(crew_number=crew_number)
    return row


def all(db: Session) -> Sequence[PersonRow]:
    """Return everybody who ever was here, by name."""
    rows = select(PersonRow).where(PersonRow.site == site_of(db))
    return db.scalars(rows.order_by(PersonRow.name, PersonRow.crew_number)).all()


def is_taken(db: Session, crew_number: str) -> bool:
    """Say whether a number is somebody's, however its letters are written."""
    same = func.lower(PersonRow.crew_number) == crew_number.lower()
    row = select(PersonRow.crew_number).where(PersonRow.site == site_of(db), same)
    return db.scalars(row).first() is not None


def is_active(row: PersonRow, instant: int) -> bool:
    """Say whether somebody has not left by an instant."""
    return row.left_at is None or instant < row.left_at


def roles_at(db: Session, crew_number: str, instant: int) -> tuple[str, ...]:
    """Return the roles of a person at an instant; none of an unknown one."""
    return rules.roles_at(history(db, crew_number), instant)


def history(db: Session, crew_number: str) -> History:
    """Return the roles of a person with the instants since which they hold."""
    rows = select(PersonRolesRow.since, PersonRolesRow.roles).where(
        PersonRolesRow.site == site_of(db), PersonRolesRow.crew_number == crew_number
    )
    return [(since, tuple(roles.split())) for since, roles in db.execute(rows)]


def person(db: Session, row: PersonRow, now: int) -> Person:
    """Return a person as of an instant."""
    return _person(row, history(db, row.crew_number), now)


def persons(db: Session, now: int) -> list[Person]:
    """Return everybody as of an instant, by name."""
    histories: defaultdict[str, History] = defaultdict(list)
    for change in db.scalars(select(PersonRolesRow).where(PersonRolesRow.site == site_of(db))):
        histories[change.crew_number].append((change.since, tuple(change.roles.split())))
    return [_person(row, histories[row.crew_number], now) for row in all(db)]


def _person(row: PersonRow, changes: History, now: int) -> Person:
    return Person(
        crew_number=row.crew_number,
        name=row.name,
        roles=rules.roles_at(changes, now),
        active=is_active(row, now),
        language=row.language,
    )
