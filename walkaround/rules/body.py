"""What each kind of entry says: its body, judged by its shape alone."""

import math
import re
from dataclasses import dataclass
from typing import ClassVar, Literal

from walkaround.rules import instant

_UUID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.IGNORECASE)
_SHA256 = re.compile(r"[0-9a-f]{64}")
_INTERVAL = re.compile(r"[1-9]\d{0,5} (h|months?|days?|weeks?|years?)")
_LONGEST = 20_000  # letters in one text

AnswerWord = Literal["in_order", "defect", "no_worse", "not_fitted", "could_not_check"]


class Body:
    """A body; `_ids`, `_words` and so on name the members that must have that shape."""

    _ids: ClassVar[tuple[str, ...]] = ()
    _words: ClassVar[tuple[str, ...]] = ()
    _instants: ClassVar[tuple[str, ...]] = ()
    _amounts: ClassVar[tuple[str, ...]] = ()

    def __post_init__(self) -> None:
        for names, judge in (
            (self._ids, _id),
            (self._words, _said),
            (self._instants, instant.parse),
            (self._amounts, _amount),
        ):
            for name in names:
                _each(name, getattr(self, name), judge)
        for name in self._ids:
            object.__setattr__(self, name, _lower(getattr(self, name)))


@dataclass(frozen=True)
class Answer(Body):
    """What was found at one item: a word, or a value in the item's unit."""

    item: str
    answer: AnswerWord | None = None
    value: float | None = None
    findings: tuple[str, ...] = ()
    note: str | None = None
    photos: tuple[str, ...] = ()
    than: tuple[str, ...] = ()
    at: str | None = None

    _ids = ("than",)
    _words = ("item",)
    _instants = ("at",)

    def __post_init__(self) -> None:
        super().__post_init__()
        _photos(self.photos)
        if (self.answer is None) == (self.value is None):
            raise ValueError(f"the item {self.item!r} needs either an answer or a value")
        if self.value is not None and not math.isfinite(self.value):
            raise ValueError(f"the value of {self.item!r} is not a number")


@dataclass(frozen=True)
class Walkaround(Body):
    """A finished run through a checklist."""

    checklist: str
    version: str
    started_at: str
    finished_at: str
    answers: tuple[Answer, ...]
    for_shift: str | None = None
    hours: float | None = None
    insisted: bool = False
    looked_again: tuple[str, ...] = ()
    entered_for: str | None = None
    paper: str | None = None

    _ids = ("looked_again",)
    _words = ("checklist", "version")
    _instants = ("started_at", "finished_at", "for_shift")
    _amounts = ("hours",)


@dataclass(frozen=True)
class Defect(Body):
    """Something found outside a walk-around."""

    what: str
    item: str | None = None
    critical: bool = False
    findings: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()

    _words = ("what", "item")

    def __post_init__(self) -> None:
        super().__post_init__()
        _photos(self.photos)


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
        _photos(self.photos)
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


@dataclass(frozen=True)
class Correction(Body):
    """Words about an earlier entry; it may take back what that one covers or the number it states."""

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


KINDS: dict[str, type[Body]] = {
    "walkaround": Walkaround,
    "defect": Defect,
    "clear": Clear,
    "defer": Defer,
    "hold": Hold,
    "release": Release,
    "hours": Hours,
    "meter_change": MeterChange,
    "service": Service,
    "fill": Fill,
    "lay_up": LayUp,
    "return": Return,
    "correction": Correction,
    "confirm": Confirm,
    "settle": Settle,
}


def is_uuid(text: object) -> bool:
    """Say whether this is a UUID as text."""
    return isinstance(text, str) and bool(_UUID.fullmatch(text))


def _each(name: str, value: object, judge: object) -> None:
    """Judge one member, or each of its values; say which member it was."""
    for one in value if isinstance(value, tuple) else () if value is None else (value,):
        try:
            judge(one)  # type: ignore[operator]
        except ValueError as error:
            raise ValueError(f"{name}: {error}") from error


def _id(value: str) -> None:
    if not is_uuid(value):
        raise ValueError("must be a UUID")


def _lower(value: str | tuple[str, ...]) -> str | tuple[str, ...]:
    """Ids compare as text everywhere, so they are told apart by nothing but their digits."""
    return value.lower() if isinstance(value, str) else tuple(one.lower() for one in value)


def _said(value: str) -> None:
    if not value.strip():
        raise ValueError("must say something")
    if len(value) > _LONGEST:
        raise ValueError(f"must not be longer than {_LONGEST} letters")


def _amount(value: float) -> None:
    if not math.isfinite(value) or value < 0:
        raise ValueError("must be a number, and not below zero")


def _photos(values: tuple[str, ...]) -> None:
    if not all(_SHA256.fullmatch(value) for value in values):
        raise ValueError("photos: each is named by the SHA-256 of its bytes, in lower-case hex")
