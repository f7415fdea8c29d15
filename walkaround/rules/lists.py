"""All versions of checklists that a site has had, and what they say together."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from walkaround.rules.checklist import ANY_MACHINE, Checklist, kind_of

START = "start_of_shift"


@dataclass(frozen=True)
class Version:
    """One version of a checklist and when it was in force."""

    checklist: Checklist
    since: int
    until: int | None = None

    def in_force(self, instant: int) -> bool:
        """Say whether it was the one to use at an instant."""
        return self.since <= instant and (self.until is None or instant < self.until)


class Lists:
    """The versions of a site's checklists, whenever they were in force."""

    def __init__(self, versions: Iterable[Version]) -> None:
        self.versions = tuple(versions)

    @cached_property
    def _by_version(self) -> dict[tuple[str, str], Version]:
        return {(v.checklist.name, v.checklist.version): v for v in self.versions}

    @cached_property
    def _critical(self) -> frozenset[tuple[str, str]]:
        return frozenset(
            (v.checklist.name, item.name)
            for v in self.versions
            for item in v.checklist.items
            if item.critical
        )

    def find(self, name: str, version: str, by: int | None = None) -> Checklist | None:
        """Return a version that the site has had (by an instant, where one is given)."""
        found = self._by_version.get((name, version))
        return found.checklist if found and (by is None or found.since <= by) else None

    def critical(self, name: str | None, item: str | None, machines: Iterable[str]) -> bool:
        """Say whether any version calls the item critical; with no name, of any list of theirs."""
        if name is not None:
            return (name, item) in self._critical
        return any((own, item) in self._critical for own in self._of(machines))

    def is_start(self, name: str) -> bool:
        """Say whether a list of that name is for the start of a shift, or unknown."""
        occasions = {v.checklist.occasion for v in self.versions if v.checklist.name == name}
        return START in occasions or not occasions

    def suits(self, checklist: Checklist, machine: str, instant: int) -> bool:
        """Say whether it is the machine's start-of-shift list, or for want of one the generic."""
        if checklist.occasion != START:
            return False
        if kind_of(checklist.machine) == kind_of(machine):
            return True
        return kind_of(checklist.machine) == ANY_MACHINE and not any(
            v.in_force(instant) and v.checklist.occasion == START
            for v in self.versions
            if kind_of(v.checklist.machine) == kind_of(machine)
        )

    def _of(self, machines: Iterable[str]) -> set[str]:
        kinds = {*map(kind_of, machines), ANY_MACHINE}
        return {v.checklist.name for v in self.versions if kind_of(v.checklist.machine) in kinds}
