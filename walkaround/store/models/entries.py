"""The logbook's entries, and what could not become one."""

from sqlalchemy import BigInteger, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from walkaround.store.models.base import Base


class EntryRow(Base):
    """One line of a unit's logbook: written once, never updated."""

    __tablename__ = "entry"

    site: Mapped[str] = mapped_column(
        primary_key=True
    )  # leads every key, so that sites can live apart
    id: Mapped[str] = mapped_column(primary_key=True)  # made where the entry was made
    unit: Mapped[str]
    seq: Mapped[int]
    kind: Mapped[str]
    made_at: Mapped[str]
    received_at: Mapped[str]
    skew_ms: Mapped[int] = mapped_column(BigInteger)
    by: Mapped[str | None]
    roles: Mapped[str]  # JSON, as are body and seen
    signature: Mapped[str]
    body: Mapped[str]
    device: Mapped[str | None]
    n: Mapped[int | None] = mapped_column(BigInteger)
    seen: Mapped[str | None]
    prev: Mapped[str]
    hash: Mapped[str]
    text: Mapped[str]  # exactly what was hashed; the other columns are there to be searched

    __table_args__ = (UniqueConstraint("site", "unit", "seq"),)


class RefusedRow(Base):
    """What could not be entered, kept aside with its reason until somebody puts it right."""

    __tablename__ = "refused"

    site: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(
        primary_key=True
    )  # of this refusal: the same refusal twice is one
    entry: Mapped[str | None]
    unit: Mapped[str | None]
    kind: Mapped[str | None]
    by: Mapped[str | None]
    received_at: Mapped[int] = mapped_column(BigInteger)
    skew_ms: Mapped[int] = mapped_column(BigInteger, server_default="0")
    why: Mapped[str]
    content: Mapped[str]
