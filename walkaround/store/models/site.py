"""The site, its dated settings, and its units."""

from sqlalchemy import BigInteger
from sqlalchemy.orm import Mapped, mapped_column

from walkaround.store.models.base import Base


class SiteRow(Base):
    """One site; its id is the name it was given at the start, and stands in every hash."""

    __tablename__ = "site"

    id: Mapped[str] = mapped_column(primary_key=True)
    made_at: Mapped[int] = mapped_column(BigInteger)


class SettingRow(Base):
    """What a setting was worth from an instant on; `about`: a unit's number, or empty (site)."""

    __tablename__ = "setting"

    site: Mapped[str] = mapped_column(primary_key=True)
    about: Mapped[str] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(primary_key=True)
    since: Mapped[int] = mapped_column(BigInteger, primary_key=True)
    value: Mapped[str]


class UnitRow(Base):
    """One machine, and the head of its logbook."""

    __tablename__ = "unit"

    site: Mapped[str] = mapped_column(primary_key=True)
    number: Mapped[str] = mapped_column(primary_key=True)
    title: Mapped[str]
    machine: Mapped[str]
    hours: Mapped[float | None]  # what the meter showed when the unit joined the site
    made_at: Mapped[int] = mapped_column(BigInteger)
    seq: Mapped[int]
    hash: Mapped[str]
    standing: Mapped[float | None]  # what the meter shows now
    last_walk: Mapped[str | None]  # the entry of the latest walk-around
