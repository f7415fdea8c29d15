"""The tokens that printed labels lead by."""

from sqlalchemy import BigInteger, Index, text
from sqlalchemy.orm import Mapped, mapped_column

from walkaround.store.models.base import Base

IN_FORCE = text("replaced_at is null")


class LabelRow(Base):
    """One token of a unit. It is kept as it is, for labels are printed again, and opens nothing."""

    __tablename__ = "label"

    site: Mapped[str] = mapped_column(primary_key=True)
    token: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str]
    made_at: Mapped[int] = mapped_column(BigInteger)
    replaced_at: Mapped[int | None] = mapped_column(BigInteger)

    __table_args__ = (
        # two supervisors at once must not leave a unit with two labels that both count
        Index(None, "site", "unit", unique=True, sqlite_where=IN_FORCE, postgresql_where=IN_FORCE),
    )
