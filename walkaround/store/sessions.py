"""Who is signed in: rows on the server, so that whatever ends a session ends it at once."""

from sqlalchemy import ColumnElement, delete, select, update
from sqlalchemy.orm import Session

from walkaround.rules.instant import HOUR, MINUTE
from walkaround.store import people, phones, secrets
from walkaround.store.db import site_of
from walkaround.store.models.people import PersonRow, PhoneRow, SessionRow

LONGEST = 12 * HOUR
PROOF_LASTS = 5 * MINUTE


def find(db: Session, secret: str, now: int) -> tuple[SessionRow, PersonRow] | None:
    """Return the session whose cookie this is and its person, while both hold on this phone."""
    site = site_of(db)
    rows = (
        select(SessionRow, PersonRow, PhoneRow)
        .join(PersonRow, PersonRow.crew_number == SessionRow.crew_number)
        .join(PhoneRow, PhoneRow.id == SessionRow.phone)
        .where(SessionRow.site == site, PersonRow.site == site, PhoneRow.site == site)
        .where(SessionRow.id_hash == secrets.fingerprint(secret))
    )
    found = db.execute(rows.execution_options(populate_existing=True)).one_or_none()
    if found is None:
        return None
    session, person, phone = found
    holds = now < session.ends_at and phones.is_enrolled(phone) and people.is_active(person, now)
    return (session, person) if holds else None


def start(db: Session, crew_number: str, phone_id: str, now: int, shift_end: int | None) -> str:
    """Add a session and return its secret. It ends with the shift, and after 12 hours anyway."""
    secret = secrets.make()
    longest = now + LONGEST
    db.add(
        SessionRow(
            site=site_of(db),
            id_hash=secrets.fingerprint(secret),
            crew_number=crew_number,
            phone=phone_id,
            started_at=now,
            proved_at=now,
            ends_at=longest if shift_end is None else min(shift_end, longest),
        )
    )
    return secret


def proved_within(session: SessionRow, now: int, within: int = PROOF_LASTS) -> bool:
    """Say whether the PIN was given so lately that more than reading and walking is allowed."""
    return 0 <= now - session.proved_at < within


def renew(db: Session, secret: str, now: int) -> str | None:
    """Give a session that was proved again a new secret and return it; None where it has ended."""
    row, made = SessionRow, secrets.make()
    mine = update(row).where(_here(db), row.id_hash == secrets.fingerprint(secret))
    new = {"id_hash": secrets.fingerprint(made), "proved_at": now}
    done = db.execute(mine.values(new).returning(row.crew_number)).first()
    return made if done else None


def end(db: Session, secret: str) -> None:
    """Take away one session."""
    fingerprint = secrets.fingerprint(secret)
    db.execute(delete(SessionRow).where(_here(db), SessionRow.id_hash == fingerprint))


def end_of_person(db: Session, crew_number: str) -> None:
    """Take away all sessions of a person."""
    db.execute(delete(SessionRow).where(_here(db), SessionRow.crew_number == crew_number))


def end_of_phone(db: Session, phone_id: str) -> None:
    """Take away all sessions on a phone."""
    db.execute(delete(SessionRow).where(_here(db), SessionRow.phone == phone_id))


def sweep(db: Session, now: int) -> None:
    """Take away what has ended."""
    db.execute(delete(SessionRow).where(_here(db), SessionRow.ends_at <= now))


def _here(db: Session) -> ColumnElement[bool]:
    return SessionRow.site == site_of(db)
