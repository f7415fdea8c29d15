"""The tables of people, phones, sessions, tokens and of tries with a PIN."""

from sqlalchemy import BigInteger, Index
from sqlalchemy.orm import Mapped, mapped_column

from walkaround.store.models.base import Base


class PersonRow(Base):
    """Somebody of the site. Rows stay for ever, so that no crew number is given out twice."""

    __tablename__ = "person"

    site: Mapped[str] = mapped_column(primary_key=True)
    crew_number: Mapped[str] = mapped_column(primary_key=True)
    name: Mapped[str]
    pin_hash: Mapped[str]
    created_at: Mapped[int] = mapped_column(BigInteger)
    left_at: Mapped[int | None] = mapped_column(BigInteger)  # may lie in the future
    language: Mapped[str | None]


class PersonRolesRow(Base):
    """The roles of a person from an instant on."""

    __tablename__ = "person_roles"

    site: Mapped[str] = mapped_column(primary_key=True)
    crew_number: Mapped[str] = mapped_column(primary_key=True)
    since: Mapped[int] = mapped_column(BigInteger, primary_key=True)
    roles: Mapped[str]  # separated by spaces


class PhoneRow(Base):
    """A browser that was asked to enrol, and since `enrolled_at` is. Only hashes of its secrets."""

    __tablename__ = "phone"

    site: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    name: Mapped[str]
    created_at: Mapped[int] = mapped_column(BigInteger)
    code_hash: Mapped[str]
    code_expires_at: Mapped[int] = mapped_column(BigInteger)
    secret_hash: Mapped[str | None]
    enrolled_at: Mapped[int | None] = mapped_column(BigInteger)  # when the code was used
    seen_at: Mapped[int | None] = mapped_column(BigInteger)
    shut_out_at: Mapped[int | None] = mapped_column(BigInteger)
    waiting: Mapped[int | None] = mapped_column(BigInteger)  # entries on it, as it said when seen
    highest: Mapped[int | None] = mapped_column(BigInteger)  # of the numbers that came in
    looked_at: Mapped[int | None] = mapped_column(BigInteger)  # by a supervisor, for what it lacks
    looked_by: Mapped[str | None]
    release: Mapped[str | None]  # of the pages that it keeps, as it said when seen

    __table_args__ = (
        Index(None, "site", "code_hash", unique=True),
        Index(None, "site", "secret_hash", unique=True),
    )


class PhoneGapRow(Base):
    """Numbers, `first` to `last`, of a phone's entries that have not come in."""

    __tablename__ = "phone_gap"

    site: Mapped[str] = mapped_column(primary_key=True)
    phone: Mapped[str] = mapped_column(primary_key=True)
    first: Mapped[int] = mapped_column(BigInteger, primary_key=True)
    last: Mapped[int] = mapped_column(BigInteger)
    since: Mapped[int] = mapped_column(BigInteger)  # when a higher number came in
    emptied: Mapped[bool]  # the phone said that its browser lost what it had kept


class SessionRow(Base):
    """Somebody signed in on a phone."""

    __tablename__ = "session"

    site: Mapped[str] = mapped_column(primary_key=True)
    id_hash: Mapped[str] = mapped_column(primary_key=True)
    crew_number: Mapped[str]
    phone: Mapped[str]
    started_at: Mapped[int] = mapped_column(BigInteger)
    proved_at: Mapped[int] = mapped_column(BigInteger)  # when the PIN was last given
    ends_at: Mapped[int] = mapped_column(BigInteger)

    __table_args__ = (
        Index(None, "site", "crew_number"),
        Index(None, "site", "phone"),
        Index(None, "site", "ends_at"),
    )


class TokenRow(Base):
    """A key with which a program acts as a person."""

    __tablename__ = "token"

    site: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    crew_number: Mapped[str]
    token_hash: Mapped[str]
    created_at: Mapped[int] = mapped_column(BigInteger)
    expires_at: Mapped[int | None] = mapped_column(BigInteger)
    revoked_at: Mapped[int | None] = mapped_column(BigInteger)
    used_at: Mapped[int | None] = mapped_column(BigInteger)

    __table_args__ = (
        Index(None, "site", "token_hash", unique=True),
        Index(None, "site", "crew_number"),
    )


class AttemptRow(Base):
    """Tries with a PIN that failed, counted for one subject."""

    __tablename__ = "attempt"

    site: Mapped[str] = mapped_column(primary_key=True)
    scope: Mapped[str] = mapped_column(primary_key=True)  # person_on_phone, person, phone, address
    subject: Mapped[str] = mapped_column(primary_key=True)
    failures: Mapped[int]
    failed_at: Mapped[int] = mapped_column(BigInteger)
