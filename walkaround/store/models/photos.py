"""Photos: the name is the hash of what was sent."""

from sqlalchemy import BigInteger
from sqlalchemy.orm import Mapped, mapped_column

from walkaround.store.models.base import Base


class PhotoRow(Base):
    """One photo that is kept; its bytes stand in files."""

    __tablename__ = "photo"

    site: Mapped[str] = mapped_column(primary_key=True)
    sha256: Mapped[str] = mapped_column(primary_key=True)
    by: Mapped[str]
    received_at: Mapped[int] = mapped_column(BigInteger)


class PhotoUseRow(Base):
    """An entry names a photo; from then on everybody signed in may see it."""

    __tablename__ = "photo_use"

    site: Mapped[str] = mapped_column(primary_key=True)
    sha256: Mapped[str] = mapped_column(primary_key=True)
    entry: Mapped[str] = mapped_column(primary_key=True)
    unit: Mapped[str]
