"""What has been given at each item of a walk, out of the form that the page sends."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from flask import request

from walkaround.rules import instant
from walkaround.rules.body import is_uuid
from walkaround.rules.checklist import Item
from walkaround.rules.quantity import Preferred
from walkaround.rules.refusal import Refusal
from walkaround.web import measured, photos
from walkaround.web.amounts import amount
from walkaround.web.language import say
from walkaround.web.lines import sent_before

BAD = ("defect", "no_worse")


@dataclass(frozen=True)
class Given:
    """What somebody has said at one item so far; `error` says what is still wanted."""

    answer: str = ""
    value: str = ""
    findings: tuple[str, ...] = ()
    note: str = ""
    photos: tuple[str, ...] = ()
    than: tuple[str, ...] = ()
    at: str = ""
    error: str = ""


def read(item: Item, answers: tuple[str, ...], units: Preferred) -> Given:
    """Return what the form says about one item; `answers` are those that its page offers.

    `units` are those in which it asked.
    """
    form, name = request.form, item.name
    found = Given(
        answer=form.get(f"answer:{name}", ""),
        value=form.get(f"value:{name}", "").strip(),
        findings=tuple(f for f in form.getlist(f"findings:{name}") if f in item.findings),
        note=form.get(f"note:{name}", "").strip(),
        photos=sent_before(form.getlist(f"photos:{name}")),
        than=tuple(id for id in form.getlist(f"than:{name}") if is_uuid(id)),
        at=form.get(f"at:{name}", ""),
    )
    if item.measure and found.value and not found.answer:
        found = replace(found, answer="value")
    return replace(found, error=_wanted(item, found, answers, units))


def with_photos(item: Item, given: Given) -> Given:
    """Return it with the photos that were sent along; these are kept whatever becomes of it."""
    try:
        taken = photos.take_in(request.files.getlist(f"photo:{item.name}"))
    except Refusal as error:
        return replace(given, error=say(error.sentence, **error.data))
    return replace(given, photos=tuple(dict.fromkeys(given.photos + taken)))


def answer(item: Item, given: Given, when: "Clock", units: Preferred) -> dict[str, Any]:
    """Return the answer as an entry holds it: a value is in the unit of the list."""
    made: dict[str, Any] = {"item": item.name}
    if given.answer == "value":
        made["value"] = _stored(item, given, units)
    else:
        made["answer"] = given.answer
    bad = given.answer in BAD or given.answer == "value"
    more: Mapping[str, Any] = {
        "findings": list(given.findings) if bad else [],
        "note": given.note,
        "photos": list(given.photos),
        "than": list(given.than) if given.answer in ("no_worse", "value") else [],
        "at": when.instant(given.at),
    }
    return {**made, **{name: value for name, value in more.items() if value}}


@dataclass(frozen=True)
class Clock:
    """The phone's clock against ours: `sent` is what it showed when the form left."""

    sent: str
    started_at: int
    now: int

    def instant(self, at: str) -> str | None:
        """Return a moment on the phone as an instant, where scripts have noted it."""
        if not (at.isdecimal() and self.sent.isdecimal()):
            return None
        ours = self.now - (int(self.sent) - int(at))
        return instant.text(ours) if self.started_at <= ours <= self.now else None


def _stored(item: Item, given: Given, units: Preferred) -> float:
    typed, scale = amount(given.value), measured.scale_of(item, units)
    return scale.stored(typed) if scale else typed


def _wanted(item: Item, given: Given, answers: tuple[str, ...], units: Preferred) -> str:
    if given.answer not in answers:
        return say("There is no answer yet.")
    if given.answer == "could_not_check" and not given.note:
        return say("Write why it could not be checked.")
    if given.answer == "value":
        return _unread(item, given.value, units)
    if item.measure and given.value:
        return say("Here are a number and another answer: keep one of them.")
    return ""


def _unread(item: Item, typed: str, units: Preferred) -> str:
    """Return why a number cannot be taken as it was typed, if so."""
    try:
        value = amount(typed)
    except ValueError:
        return say("Give the number that was read, in figures.")
    scale = measured.scale_of(item, units)
    return "" if scale is None or scale.takes(value) else measured.too_fine(scale)
