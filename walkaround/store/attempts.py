"""Count tries with a PIN. Each is counted as failed before it is checked, and given back after.

So twenty guesses that arrive at once cannot all slip through before the first is counted.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import ColumnElement, delete
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from walkaround.rules import pace
from walkaround.rules.instant import DAY
from walkaround.rules.pace import Count, Pace
from walkaround.store.db import site_of
from walkaround.store.models.people import AttemptRow

PACES: Mapping[str, Pace] = {
    "person_on_phone": pace.PERSON_ON_PHONE,
    "person": pace.PERSON,
    "phone": pace.PHONE,
    "address": pace.ADDRESS,
}


@dataclass(frozen=True)
class Try:
    """Whose PIN was tried, where. Only a person who is there has counters of their own."""

    crew_number: str | None
    phone_id: str
    address: str | None

    @property
    def of_person(self) -> dict[str, str]:
        """The counters that a right PIN sets back to nothing."""
        if self.crew_number is None:
            return {}
        on_phone = f"{self.crew_number} {self.phone_id}"
        return {"person_on_phone": on_phone, "person": self.crew_number}

    @property
    def of_place(self) -> dict[str, str]:
        """The counters that a right PIN leaves as they were."""
        place = {"phone": self.phone_id}
        return place if self.address is None else place | {"address": self.address}


def take(db: Session, tried: Try, now: int) -> bool:
    """Count one more try and return True; False and nothing counted if it comes too soon."""
    subjects = tried.of_person | tried.of_place
    rows = {scope: _locked(db, scope, subject) for scope, subject in subjects.items()}
    counts = {scope: Count(row.failures, row.failed_at) for scope, row in rows.items()}
    if not all(pace.open_at(PACES[scope], count, now) for scope, count in counts.items()):
        return False
    for scope, row in rows.items():
        after = pace.after_failure(PACES[scope], counts[scope], now)
        row.failures, row.failed_at = after.failures, after.failed_at
    return True


def give_back(db: Session, tried: Try, now: int) -> None:
    """Note that the PIN was right."""
    for scope, subject in tried.of_person.items():
        db.execute(delete(AttemptRow).where(*_is(db, scope), AttemptRow.subject == subject))
    for scope, subject in tried.of_place.items():
        row = _locked(db, scope, subject)
        row.failures = max(0, row.failures - 1)
    for scope in tried.of_place:
        db.execute(delete(AttemptRow).where(*_is(db, scope), AttemptRow.failed_at < now - DAY))


def forget_person(db: Session, crew_number: str) -> None:
    """Take away what was counted against a person: a new PIN starts anew."""
    subject = AttemptRow.subject
    db.execute(delete(AttemptRow).where(*_is(db, "person"), subject == crew_number))
    on_phones = subject.startswith(f"{crew_number} ", autoescape=True)
    db.execute(delete(AttemptRow).where(*_is(db, "person_on_phone"), on_phones))


def _locked(db: Session, scope: str, subject: str) -> AttemptRow:
    """Return a counter that nobody else can change before this transaction ends."""
    key = (site_of(db), scope, subject)
    if (row := _read(db, key)) is not None:
        return row
    try:
        with db.begin_nested():
            row = AttemptRow(site=key[0], scope=scope, subject=subject, failures=0, failed_at=0)
            db.add(row)
    except IntegrityError:  # another try has made it in this moment
        if (row := _read(db, key)) is None:
            raise
    return row


def _read(db: Session, key: tuple[str, str, str]) -> AttemptRow | None:
    return db.get(AttemptRow, key, with_for_update=True, populate_existing=True)


def _is(db: Session, scope: str) -> tuple[ColumnElement[bool], ...]:
    return AttemptRow.site == site_of(db), AttemptRow.scope == scope
