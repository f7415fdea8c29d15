"""Bodies that state numbers: hours, services, fills."""

import re
from dataclasses import dataclass
from typing import Literal

from walkaround.rules.shape import Body

_INTERVAL = re.compile(r"[1-9]\d{0,5} (h|months?|days?|weeks?|years?)")


@dataclass(frozen=True)
class Hours(Body):
    """A reading of the hour meter."""

    value: float
    insisted: bool = False

    _amounts = ("value",)


@dataclass(frozen=True)
class MeterChange(Body):
    """A new hour meter."""

    old: float
    new: float
    note: str

    _words = ("note",)
    _amounts = ("old", "new")


@dataclass(frozen=True)
class Service(Body):
    """A service that was done."""

    interval: str
    hours: float
    work: str

    _words = ("work",)
    _amounts = ("hours",)

    def __post_init__(self) -> None:
        super().__post_init__()
        if not _INTERVAL.fullmatch(self.interval):
            raise ValueError("interval: like 500 h or 12 months")


@dataclass(frozen=True)
class Fill(Body):
    """A fluid that was filled up."""

    fluid: Literal[
        "diesel", "def", "engine_oil", "coolant", "hydraulic_oil", "transmission_oil", "grease"
    ]
    litres: float
    hours: float | None = None
    insisted: bool = False
    to_full: bool | None = None
    biodiesel_percent: float | None = None

    _amounts = ("litres", "hours", "biodiesel_percent")
