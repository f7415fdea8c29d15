"""Reads the description of the invented site."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from ruamel.yaml import YAML

Plain = Mapping[str, Any]


@dataclass(frozen=True)
class DemoSite:
    """The members of demo/site.yaml, which says what each of them means."""

    site: str
    zone: str
    shifts: str
    language: str
    call: str
    seed: int
    days: int
    people: Sequence[Plain]
    sign_in: Sequence[str]
    phones: Sequence[str]
    units: Sequence[Plain]
    faults: Sequence[Plain]
    remarks: Sequence[Plain]
    steps: Sequence[Plain]
    walks: Sequence[Plain]

    def person(self, crew_number: str) -> Plain:
        """Return one of its people."""
        return next(one for one in self.people if one["crew_number"] == crew_number)

    def place(self, start: int) -> int:
        """Return which shift of the day it is that starts at an instant, from 0 on."""
        here = datetime.fromtimestamp(start / 1000, ZoneInfo(self.zone))
        return self.shifts.split(",").index(f"{here:%H:%M}")

    def crew(self, shift: int, role: str) -> list[str]:
        """Return the crew numbers of those who work in a shift of the day and have a role."""
        here = [one for one in self.people if one["shift"] == shift]
        return [one["crew_number"] for one in here if role in one["roles"]]


def read(folder: Path) -> DemoSite:
    """Return the site that a folder describes."""
    return DemoSite(**YAML(typ="safe").load(folder / "site.yaml"))
