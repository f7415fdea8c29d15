"""Bodies that say what was found: walk-arounds and defects."""

import math
from dataclasses import dataclass
from typing import Literal

from walkaround.rules.shape import Body, check_photos

AnswerWord = Literal["in_order", "defect", "no_worse", "not_fitted", "could_not_check"]


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
        check_photos(self.photos)
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
        check_photos(self.photos)
