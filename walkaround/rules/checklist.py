"""A checklist: its stations in walking order, their items, and what each may be answered."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from walkaround.rules.checklist_error import ChecklistError as ChecklistError
from walkaround.rules.checklist_format import read_document
from walkaround.rules.checklist_value import milliseconds
from walkaround.rules.instant import SECOND
from walkaround.rules.words import Text

ANY_MACHINE = "any"


@dataclass(frozen=True, slots=True)
class Measure:
    """A number that an item asks for, and its limits, both of them still good."""

    quantity: str
    unit: str
    low: float | None
    high: float | None
    every: int | None

    def judge(self, value: float) -> str | None:
        """Return the side on which a value lies outside the limits: low, high or None."""
        if self.low is not None and value < self.low:
            return "low"
        if self.high is not None and value > self.high:
            return "high"
        return None


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to look at or to measure."""

    name: str
    look: Text
    how: Text  # empty where the list says nothing of it; so is `good`
    good: Text
    critical: bool
    optional: bool
    photo: bool
    findings: Mapping[str, Text]
    measure: Measure | None
    timer: int | None
    sign: str  # empty where the list names none
    refs: tuple[str, ...]

    def answers(self) -> tuple[str, ...]:
        """Return the words that this item takes as an answer; `value` stands for a number."""
        seen = ("value",) if self.measure else ("in_order", "defect")
        return (*seen, "could_not_check", *(("not_fitted",) if self.optional else ()))


@dataclass(frozen=True, slots=True)
class Station:
    """A stop on the walk."""

    name: str
    title: Text
    engine: str
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Checklist:
    """What to look at on one kind of machine for one occasion, in one version."""

    name: str
    version: str
    title: Text
    machine: str
    occasion: str
    guide_minutes: int | None
    valid_for: int | None
    cautions: tuple[Text, ...]
    stations: tuple[Station, ...]
    power: str = "engine"  # or electric: then no engine runs, and pages say switched on and off

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """Return all items in walking order."""
        return tuple(item for station in self.stations for item in station.items)

    def item(self, name: str) -> Item | None:
        """Return the item of that name."""
        return self._by_name.get(name)

    @cached_property
    def _by_name(self) -> Mapping[str, Item]:
        return {item.name: item for item in self.items}


def kind_of(machine: str) -> str:
    """Return the machine as it is compared: single spaces, no difference of capitals."""
    return " ".join(machine.split()).casefold()


def from_plain(plain: Mapping[str, Any], version: str) -> Checklist:
    """Build a checklist from its document; raise the first ChecklistError if it is wrong."""
    document, problems = read_document(dict(plain))
    if problems:
        raise problems[0]
    language = document.get("language", "en")
    return Checklist(
        name=document["checklist"],
        version=version,
        title=_text(document["title"], language),
        machine=document["machine"],
        occasion=document["occasion"],
        guide_minutes=document.get("guide_minutes"),
        valid_for=_length(document.get("valid_for")),
        cautions=tuple(_text(caution, language) for caution in document.get("cautions", ())),
        stations=tuple(_station(station, language) for station in document["stations"]),
        power=document.get("power", "engine"),
    )


def _station(plain: Mapping[str, Any], language: str) -> Station:
    return Station(
        name=plain["station"],
        title=_text(plain["title"], language),
        engine=plain["engine"],
        items=tuple(_item(item, language) for item in plain["items"]),
    )


def _item(plain: Mapping[str, Any], language: str) -> Item:
    timer = _length(plain.get("timer"))
    findings = plain.get("findings", {})
    return Item(
        name=plain["item"],
        look=_text(plain["look"], language),
        how=_text(plain["how"], language) if "how" in plain else {},
        good=_text(plain["good"], language) if "good" in plain else {},
        critical=plain.get("critical", False),
        optional=plain.get("optional", False),
        photo=plain.get("photo") == "asked",
        findings={name: _text(words, language) for name, words in findings.items()},
        measure=_measure(plain["measure"]) if "measure" in plain else None,
        timer=timer // SECOND if timer else None,
        sign=plain.get("sign", ""),
        refs=tuple(plain.get("refs", ())),
    )


def _measure(plain: Mapping[str, Any]) -> Measure:
    every = _length(plain.get("every"))
    return Measure(plain["quantity"], plain["in"], plain.get("low"), plain.get("high"), every)


def _length(written: str | None) -> int | None:
    return milliseconds(written) if written else None


def _text(plain: str | Mapping[str, str], language: str) -> Text:
    return {language: plain} if isinstance(plain, str) else dict(plain)
