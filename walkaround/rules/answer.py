"""An answer, and what an item's limits make of it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from walkaround.rules.body import Answer, Walkaround
from walkaround.rules.checklist import Checklist, Item


@dataclass(frozen=True)
class Failure:
    """How an item failed: what was said, or the value and the limits it lies outside."""

    item: str | None
    findings: tuple[str, ...] = ()
    note: str | None = None
    photos: tuple[str, ...] = ()
    answer: str | None = None
    value: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str | None = None  # what value and limits are in
    mixed: bool = False  # it failed in more ways than one
    than: tuple[str, ...] = ()  # the deferred defects that it is said to be no worse than

    def united(self, other: "Failure") -> "Failure":
        """Return what stands when an item failed twice: both words, and no *no worse*.

        Where even the items differ (one id, two contents) it stands by itself, whichever was first.
        """
        alike = replace(other, findings=self.findings, note=self.note, photos=self.photos) == self
        return replace(
            self,
            item=self.item if self.item == other.item else None,
            findings=tuple(dict.fromkeys(self.findings + other.findings)),
            note="\n".join(dict.fromkeys(note for note in (self.note, other.note) if note)) or None,
            photos=tuple(dict.fromkeys(self.photos + other.photos)),
            than=self.than if alike else (),
            mixed=self.mixed or not alike,
        )

    def no_worse_than(self, base: "Failure") -> bool:
        """Say whether a deferred failure of the item was at least as bad by the newer limits."""
        if self.item is None or self.item != base.item:
            return False
        if self.value is None:
            return True
        if base.value is None or base.mixed or base.unit != self.unit:
            return False  # a pressure in bar says nothing about one in kPa
        if self.low is not None and self.value < self.low:
            return base.value <= self.value
        return self.high is not None and base.value >= self.value


def failures(walk: Walkaround, checklist: Checklist | None) -> list[Failure]:
    """Return the items that failed, one failure an item, in the order they were answered."""
    found: dict[str, Failure] = {}
    for answer in walk.answers:
        if failure := judge(answer, checklist.item(answer.item) if checklist else None):
            first = found.get(answer.item)
            found[answer.item] = first.united(failure) if first else failure
    return list(found.values())


def judge(answer: Answer, item: Item | None) -> Failure | None:
    """Return the failure that an answer is, if it is one; without its item only words can fail."""
    measure = item.measure if item else None
    outside = measure is not None and answer.value is not None and measure.judge(answer.value)
    not_fitted = answer.answer == "not_fitted" and not (item and item.optional)
    if not (answer.answer in ("defect", "no_worse") or not_fitted or outside):
        return None
    bearing = answer.answer == "no_worse" or outside
    return Failure(
        item=answer.item,
        findings=answer.findings,
        note=answer.note,
        photos=answer.photos,
        answer=answer.answer,
        value=answer.value,
        low=measure.low if measure else None,
        high=measure.high if measure else None,
        unit=measure.unit if measure else None,
        than=answer.than if bearing else (),
    )


def missing(walk: Walkaround, checklist: Checklist) -> tuple[str, ...]:
    """Return the items that no answer tells anything about, in walking order."""
    given: dict[str, list[Answer]] = {}
    for answer in walk.answers:
        given.setdefault(answer.item, []).append(answer)
    return tuple(item.name for item in checklist.items if not _told(item, given.get(item.name, ())))


def strangers(walk: Walkaround, checklist: Checklist) -> tuple[str, ...]:
    """Return the answered items that the list does not have."""
    return tuple(a.item for a in walk.answers if checklist.item(a.item) is None)


def _told(item: Item, answers: Iterable[Answer]) -> bool:
    """Say whether the answers tell the state of an item; one *could not check* spoils it."""
    words = {answer.answer or "value" for answer in answers}
    if "could_not_check" in words:
        return False
    takes = {"value"} if item.measure else {"in_order", "defect", "no_worse"}
    return not words.isdisjoint(takes | {"not_fitted"})
