"""The page of a walk: what it asks, what was given, and what is still wanted."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from flask import g, request
from werkzeug.exceptions import NotFound

from walkaround.actions.hand_in import Walk
from walkaround.rules import reading
from walkaround.rules.checklist import Checklist, Item
from walkaround.rules.lists import START
from walkaround.rules.quantity import Preferred
from walkaround.rules.shift import Shift
from walkaround.rules.shift_choice import choices
from walkaround.rules.words import say as say_text
from walkaround.store import checklists, readings, settings
from walkaround.store.models import UnitRow
from walkaround.store.standings import Standing
from walkaround.web import measured, moments, walk_given
from walkaround.web.amounts import amount
from walkaround.web.language import say
from walkaround.web.measured import MeasureWords
from walkaround.web.walk_asked import Look, Stop, due_items, looks_of, stops
from walkaround.web.walk_given import Given

Problem = tuple[str, str]  # where on the page, and the sentence


@dataclass(frozen=True)
class WalkPage:
    """One walk on the screen."""

    standing: Standing
    checklist: Checklist
    form: Any
    now: int
    started_at: int
    stops: Sequence[Stop]
    looks: Sequence[Look]
    shifts: Sequence[Shift]
    units: Preferred  # in which it asks
    hours_error: str = ""
    trouble: str = ""

    @property
    def problems(self) -> list[Problem]:
        """Return what is still wanted, in walking order."""
        found = [
            (f"item-{ask.item.name}", f"{say_text(ask.item.look, g.language)}: {ask.given.error}")
            for stop in self.stops
            for ask in stop.asks
            if ask.given.error
        ]
        found += [("sign", self.hours_error)] if self.hours_error else []
        return found + ([("sign", self.trouble)] if self.trouble else [])

    @property
    def unit(self) -> UnitRow:
        """Return what is walked round."""
        return self.standing.unit

    @property
    def hours_at(self) -> int:
        """Return when the hour meter was last read."""
        return readings.last_at(g.db, self.unit)

    @property
    def count(self) -> int:
        """Return how many items are asked for."""
        return sum(len(stop.asks) for stop in self.stops)

    @property
    def shift_ends(self) -> list[dict[str, int]]:
        """Return the shifts to choose from, as scripts read them."""
        early = settings.site_rules(g.db).early
        return [
            {"start": shift.start, "end": shift.end, "early": shift.start - early(shift.start)}
            for shift in self.shifts
        ]

    def measured(self, item: Item) -> MeasureWords | None:
        """Return what it says of a number that an item asks for."""
        made = measured.scale_of(item, self.units)
        return measured.asked(made) if made else None

    def refused(self, sentence: str) -> "WalkPage":
        """Return the page with the sentence that the logbook answered."""
        return replace(self, trouble=sentence)

    def walk(self) -> Walk:
        """Return the walk as it is handed in."""
        clock = walk_given.Clock(self.form.sent.data or "", self.started_at, self.now)
        asks, units = [ask for stop in self.stops for ask in stop.asks], self.units
        hours = None if self.form.no_hours.data else amount(self.form.hours.data)
        return Walk(
            unit=self.standing.unit.number,
            checklist=self.checklist.name,
            version=self.checklist.version,
            started_at=self.started_at,
            answers=tuple(walk_given.answer(ask.item, ask.given, clock, units) for ask in asks),
            for_shift=self._shift(),
            hours=hours,
            insisted=hours is not None and _strange(self.standing, hours, self.now) is not None,
            looked_again=self._looked(),
            seen=_seen(self.form.seen.data or ""),
        )

    def _shift(self) -> int | None:
        starts = [shift.start for shift in self.shifts]
        chosen = [start for start in starts if str(start) == self.form.for_shift.data]
        return next(iter(chosen or starts), None)

    def _looked(self) -> tuple[str, ...]:
        """Return the repairs that were looked at: named on the page, and their items checked."""
        named = request.form.getlist("looks")
        skipped = {
            ask.item.name
            for stop in self.stops
            for ask in stop.asks
            if ask.given.answer == "could_not_check"
        }
        return tuple(
            look.clear
            for look in self.looks
            if look.clear in named and not look.mine and skipped.isdisjoint(look.items)
        )


def ready(standing: Standing, form: Any, now: int) -> WalkPage:
    """Return a page on which nothing has been answered yet; 404 where there is no list."""
    occasion = request.args.get("occasion", START)
    checklist = checklists.in_force(g.db, standing.unit.machine, occasion)
    if checklist is None:
        raise NotFound
    form.checklist.data, form.version.data = checklist.name, checklist.version
    form.started_at.data = str(now)
    form.seen.data = f"{standing.unit.seq}:{standing.unit.hash}"
    form.units.data = measured.written(measured.preferred())
    page = _page(standing, checklist, form, now, now, lambda _item, _answers: Given())
    form.for_shift.data = str(page.shifts[0].start) if page.shifts else ""
    return page


def posted(standing: Standing, form: Any, now: int) -> WalkPage:
    """Return the page with what was sent, and what is still wanted of it."""
    name, version = form.checklist.data or "", form.version.data or ""
    checklist = checklists.find(g.db, name, version)
    if checklist is None:  # nothing that was typed is lost: the list of today asks for it
        checklist = checklists.in_force(g.db, standing.unit.machine, START)
    if checklist is None:
        raise NotFound
    form.checklist.data, form.version.data = checklist.name, checklist.version
    sent = form.started_at.data or ""
    started_at = min(int(sent), now) if sent.isdecimal() and len(sent) < 15 else now
    page = _page(standing, checklist, form, now, started_at, _given(_units(form)))
    trouble = "" if form.validate() else next(iter(form.errors.values()))[0]
    return replace(page, hours_error=_hours_error(standing, form, now), trouble=trouble)


def _page(
    standing: Standing,
    checklist: Checklist,
    form: Any,
    now: int,
    started_at: int,
    given: Callable[[Item, tuple[str, ...]], Given],
) -> WalkPage:
    shifts = choices(settings.site_rules(g.db), now)
    return WalkPage(
        standing=standing,
        checklist=checklist,
        form=form,
        now=now,
        started_at=started_at,
        stops=stops(standing, checklist, started_at, given),
        looks=looks_of(standing, due_items(standing, checklist, started_at)),
        units=_units(form),
        # Whoever parks a machine does so at the end of the shift that is on, not before the next.
        shifts=shifts if checklist.occasion == START else shifts[::-1],
    )


def _units(form: Any) -> Preferred:
    return measured.read(form.units.data or "")


def _given(units: Preferred) -> Callable[[Item, tuple[str, ...]], Given]:
    def given(item: Item, answers: tuple[str, ...]) -> Given:
        return walk_given.with_photos(item, walk_given.read(item, answers, units))

    return given


def _hours_error(standing: Standing, form: Any, now: int) -> str:
    if form.no_hours.data:
        return ""
    try:
        value = amount(form.hours.data or "")
    except ValueError:
        value = -1
    if value < 0:
        return say("Give what the hour meter shows, or say that it cannot be read.")
    why = _strange(standing, value, now)
    if why is None or form.insisted.data:
        return ""
    before = moments.number(standing.hours)
    if why == reading.LOWER:
        return say("The hour meter stood at %(hours)s h before: it cannot go back.", hours=before)
    return say(
        "That is more than has passed since the last reading (%(hours)s h, %(when)s).",
        hours=before,
        when=moments.moment(readings.last_at(g.db, standing.unit)),
    )


def _strange(standing: Standing, value: float, now: int) -> str | None:
    return reading.strange(value, standing.hours, readings.last_at(g.db, standing.unit), now)


def _seen(text: str) -> dict[str, Any] | None:
    seq, _, hash_ = text.partition(":")
    return {"seq": int(seq), "hash": hash_} if seq.isdecimal() and len(seq) < 10 else None
