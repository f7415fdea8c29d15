"""Bodies that say what was decided: ends, deferrals, holds, corrections."""

from dataclasses import dataclass
from typing import Literal

from walkaround.rules.shape import Body, check_photos


@dataclass(frozen=True)
class Clear(Body):
    """A mechanic ends defects."""

    defects: tuple[str, ...]
    outcome: Literal["repaired", "no_fault_found"]
    work: str
    parts: str | None = None
    hours: float | None = None
    photos: tuple[str, ...] = ()

    _ids = ("defects",)
    _words = ("work",)
    _amounts = ("hours",)

    def __post_init__(self) -> None:
        super().__post_init__()
        check_photos(self.photos)
        if not self.defects:
            raise ValueError("defects: at least one is needed")


@dataclass(frozen=True)
class Defer(Body):
    """A mechanic lets a unit run with defects, under restrictions, until an end."""

    defects: tuple[str, ...]
    restrictions: str
    until: str
    until_hours: float | None = None

    _ids = ("defects",)
    _words = ("restrictions",)
    _instants = ("until",)
    _amounts = ("until_hours",)

    def __post_init__(self) -> None:
        super().__post_init__()
        if not self.defects:
            raise ValueError("defects: at least one is needed")


@dataclass(frozen=True)
class Hold(Body):
    """A supervisor takes a unit out of use."""

    reason: str

    _words = ("reason",)


@dataclass(frozen=True)
class Release(Body):
    """A supervisor gives it back."""

    hold: str
    note: str

    _ids = ("hold",)
    _words = ("note",)


@dataclass(frozen=True)
class LayUp(Body):
    """A supervisor takes a unit out of the fleet for now."""

    reason: str

    _words = ("reason",)


@dataclass(frozen=True)
class Return(Body):
    """A supervisor brings it back into the fleet."""

    lay_up: str
    note: str

    _ids = ("lay_up",)
    _words = ("note",)


@dataclass(frozen=True)
class Correction(Body):
    """Words about an earlier entry; it may take back what that one covers or states."""

    entry: str
    what: str
    withdraws: bool = False

    _ids = ("entry",)
    _words = ("what",)


@dataclass(frozen=True)
class Confirm(Body):
    """Somebody says that an unconfirmed entry is theirs."""

    entry: str

    _ids = ("entry",)


@dataclass(frozen=True)
class Settle(Body):
    """A supervisor has looked into a doubt."""

    about: str
    note: str

    _ids = ("about",)
    _words = ("note",)
