"""What follows from the logbook: written by its projector alone, rebuilt by replay."""

from sqlalchemy import BigInteger, Index
from sqlalchemy.orm import Mapped, mapped_column

from walkaround.store.models.base import Base


class LinkRow(Base):
    """An entry names an id, or adds what has that id: how related entries find each other."""

    __tablename__ = "link"

    site: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str] = mapped_column(primary_key=True)
    target: Mapped[str] = mapped_column(primary_key=True)
    entry: Mapped[str] = mapped_column(primary_key=True)

    __table_args__ = (Index(None, "site", "unit", "entry", "target"),)


class DefectRow(Base):
    """One thing found wrong once, with its ending or its latest deferral."""

    __tablename__ = "defect"

    site: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    entry: Mapped[str]
    by: Mapped[str | None]
    made_at: Mapped[int] = mapped_column(BigInteger)
    item: Mapped[str | None]
    checklist: Mapped[str | None]
    version: Mapped[str | None]
    critical: Mapped[bool]
    words: Mapped[str]  # JSON: findings, note, photos, value and its limits, than
    state: Mapped[str]  # standing, look (cleared, a second look still due) or cleared
    cleared_by: Mapped[str | None]  # the entry that ended it
    cleared_at: Mapped[int | None] = mapped_column(BigInteger)
    asked_at: Mapped[int] = mapped_column(
        BigInteger
    )  # when the clear came in that asks for a second look
    ended: Mapped[str]  # JSON: every clear that names it and counts
    deferral: Mapped[str | None]  # JSON: the deferral that counts

    __table_args__ = (
        Index(None, "site", "state", "unit"),
        Index(None, "site", "unit", "item"),
        Index(None, "site", "unit", "entry"),
    )


class HoldRow(Base):
    """A hold or a lay-up, until it is released or the unit returns."""

    __tablename__ = "hold"

    site: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(primary_key=True)  # hold or lay_up
    by: Mapped[str | None]
    made_at: Mapped[int] = mapped_column(BigInteger)
    reason: Mapped[str]
    ended_by: Mapped[str | None]

    __table_args__ = (Index(None, "site", "ended_by", "unit"),)


class DoubtRow(Base):
    """Something that contradicts what stands or could not be read, until it is settled."""

    __tablename__ = "doubt"

    site: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    about: Mapped[str]
    why: Mapped[str]
    made_at: Mapped[int] = mapped_column(BigInteger)
    settled_by: Mapped[str | None]

    __table_args__ = (Index(None, "site", "settled_by", "unit"), Index(None, "site", "about"))


class WalkRow(Base):
    """One walk-around, as coverage needs it; the answers stay in its entry."""

    __tablename__ = "walk"

    site: Mapped[str] = mapped_column(primary_key=True)
    entry: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str]
    by: Mapped[str | None]
    made_at: Mapped[int] = mapped_column(BigInteger)
    started_at: Mapped[int] = mapped_column(BigInteger)
    for_shift: Mapped[int | None] = mapped_column(BigInteger)
    checklist: Mapped[str]
    version: Mapped[str]
    standing: Mapped[str]  # full, doubtful or withdrawn
    missing: Mapped[str]  # JSON: items without an answer that tells something
    failed: Mapped[int]

    __table_args__ = (
        Index(None, "site", "unit", "made_at"),
        Index(None, "site", "made_at"),
        Index(None, "site", "for_shift", "unit"),
    )


class ReadingRow(Base):
    """One hour-meter reading."""

    __tablename__ = "reading"

    site: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str] = mapped_column(primary_key=True)
    entry: Mapped[str] = mapped_column(primary_key=True)
    made_at: Mapped[int] = mapped_column(BigInteger)
    value: Mapped[float]
    counts: Mapped[bool]

    __table_args__ = (Index(None, "site", "unit", "counts", "value"),)


class MeterChangeRow(Base):
    """A new hour meter: what the old one showed last and the new one first."""

    __tablename__ = "meter_change"

    site: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str] = mapped_column(primary_key=True)
    entry: Mapped[str] = mapped_column(primary_key=True)
    made_at: Mapped[int] = mapped_column(BigInteger)
    old: Mapped[float]
    new: Mapped[float]
    counts: Mapped[bool]


class MeasureRow(Base):
    """One measured value of an item: in SI, whatever its list was written in."""

    __tablename__ = "measure"

    site: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str] = mapped_column(primary_key=True)
    item: Mapped[str] = mapped_column(primary_key=True)
    made_at: Mapped[int] = mapped_column(BigInteger, primary_key=True)
    entry: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[float]
    measured_in: Mapped[str | None]  # kPa, mm, °C; else the list's own (%, marks); null: not known
    counts: Mapped[bool]


class RemarkRow(Base):
    """Words on an answer that is in order: read by the mechanic, blocks nothing."""

    __tablename__ = "remark"

    site: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str] = mapped_column(primary_key=True)
    entry: Mapped[str] = mapped_column(primary_key=True)
    item: Mapped[str] = mapped_column(primary_key=True)
    by: Mapped[str | None]
    made_at: Mapped[int] = mapped_column(BigInteger)
    checklist: Mapped[str]
    version: Mapped[str]
    note: Mapped[str]

    __table_args__ = (Index(None, "site", "made_at"),)
