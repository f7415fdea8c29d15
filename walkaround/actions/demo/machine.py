"""A unit of the invented site while its days are made up."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

HOLD, LAY_UP = "hold", "lay-up"


@dataclass
class Machine:
    """What is known of a unit; `down` and `carried` name items, or what else keeps it out."""

    plan: Mapping[str, Any]
    hours: float
    down: set[str] = field(default_factory=set)
    carried: set[str] = field(default_factory=set)
    ends: dict[str, str] = field(default_factory=dict)  # holds that stand, by the kind
    quiet_from: int = 2**62  # nothing fails by chance from here on
    failed_at: int = 0  # when its habit showed last

    @property
    def number(self) -> str:
        return str(self.plan["number"])

    @property
    def kind(self) -> str:
        return str(self.plan["machine"])

    @property
    def reading(self) -> float:
        """Return what the hour meter shows."""
        return round(self.hours, 1)
