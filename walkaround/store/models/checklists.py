"""Every version of a checklist that the site has had."""

from sqlalchemy import BigInteger
from sqlalchemy.orm import Mapped, mapped_column

from walkaround.store.models.base import Base


class ChecklistVersionRow(Base):
    """One version, kept for ever, so that an old record prints as it was."""

    __tablename__ = "checklist_version"

    site: Mapped[str] = mapped_column(primary_key=True)
    checklist: Mapped[str] = mapped_column(primary_key=True)
    version: Mapped[str] = mapped_column(primary_key=True)  # SHA-256 of its canonical text
    file: Mapped[str]  # where it came from: a file that cannot be read ends nothing
    machine: Mapped[str]
    occasion: Mapped[str]
    content: Mapped[str]  # canonical JSON
    since: Mapped[int] = mapped_column(BigInteger)  # 0: of the first that the site had
    until: Mapped[int | None] = mapped_column(BigInteger)  # null while in force
