"""A finished walk in words, by the version of the list that it was walked with."""

from dataclasses import dataclass

from flask import g

from walkaround.rules import answer as judging
from walkaround.rules import instant
from walkaround.rules.body import Answer, Walkaround
from walkaround.rules.checklist import Checklist, Item
from walkaround.rules.quick import is_quick
from walkaround.rules.refusal import N_
from walkaround.rules.words import say as say_text
from walkaround.store import entries, photos
from walkaround.store.models import EntryRow
from walkaround.store.standings import Standing
from walkaround.web import measured, moments, reasons
from walkaround.web.language import say
from walkaround.web.lines import pictures_of, who

ANSWERS = {
    "in_order": N_("In order"),
    "defect": N_("Defect"),
    "no_worse": N_("No worse than it was"),
    "not_fitted": N_("Not fitted"),
    "could_not_check": N_("Could not check"),
}


@dataclass(frozen=True)
class AnswerWords:
    """One answer in words; `kind` is what it comes to: bad, unchecked, remark or good."""

    title: str
    answer: str
    words: str
    kind: str
    pictures: tuple[tuple[str, str], ...]
    lacking: str


@dataclass(frozen=True)
class WalkWords:
    """One walk in words."""

    title: str
    by: str
    mine: bool
    started_at: int
    made_at: int
    length: str
    quick: str
    hours: float | None
    insisted: bool
    told: int
    count: int
    stations: tuple[tuple[str, tuple[AnswerWords, ...]], ...]
    for_shift: int | None
    confirmed: bool
    latest: bool

    def of(self, kind: str) -> list[AnswerWords]:
        """Return the answers that come to this, in walking order."""
        return [one for _, answers in self.stations for one in answers if one.kind == kind]


def shown(row: EntryRow, standing: Standing) -> WalkWords:
    """Return a walk as its page shows it."""
    entry = entries.reader(g.db).entry(row)
    body = entry.body
    assert isinstance(body, Walkaround)
    checklist = standing.facts.ground.lists.find(body.checklist, body.version)
    started_at = instant.parse(body.started_at) + entry.skew
    minutes = max(entry.made_at - started_at, 0) // instant.MINUTE
    return WalkWords(
        title=say_text(checklist.title, g.language) if checklist else body.checklist,
        by=who(row.by),
        mine=row.by == g.person.crew_number,
        started_at=started_at,
        made_at=entry.made_at,
        length=_length(minutes),
        quick=_quick(started_at, entry.made_at, checklist, minutes),
        hours=body.hours,
        insisted=body.insisted,
        told=sum(one.answer != "could_not_check" for one in body.answers),
        count=len(body.answers),
        stations=tuple(_stations(body, checklist)),
        for_shift=instant.parse(body.for_shift) if body.for_shift else None,
        confirmed=entry.confirmed and not entry.trouble,
        latest=standing.last is not None and standing.last.entry == row.id,
    )


def _quick(started_at: int, made_at: int, checklist: Checklist | None, minutes: int) -> str:
    guide = checklist.guide_minutes if checklist else None
    if not is_quick(started_at, made_at, guide):
        return ""
    return say(
        "Far quicker than this list takes: %(took)s of about %(guide)s min.",
        took=_length(minutes),
        guide=guide,
    )


def _length(minutes: int) -> str:
    return say("%(minutes)s min", minutes=minutes) if minutes else say("under 1 min")


def _stations(
    body: Walkaround, checklist: Checklist | None
) -> list[tuple[str, tuple[AnswerWords, ...]]]:
    """Return the answers by station; those that the list does not know come last."""
    if checklist is None:
        return [("", tuple(_answer(one, None) for one in body.answers))]
    found = []
    for station in checklist.stations:
        items = {item.name: item for item in station.items}
        told = tuple(_answer(a, items[a.item]) for a in body.answers if a.item in items)
        found += [(say_text(station.title, g.language), told)] if told else []
    strangers = tuple(_answer(a, None) for a in body.answers if checklist.item(a.item) is None)
    return found + ([("", strangers)] if strangers else [])


def _answer(given: Answer, item: Item | None) -> AnswerWords:
    failure = judging.judge(given, item)
    title = say_text(item.look, g.language) if item else given.item
    here = photos.here(g.db, given.photos)
    words = reasons.words(failure, item, g.language) if failure else given.note or ""
    return AnswerWords(
        title=title,
        answer=_word(given, item, failed=failure is not None),
        words=words,
        kind=_kind(given, failed=failure is not None),
        pictures=pictures_of(given.photos, here, title),
        lacking=_lacking(given, item, failed=failure is not None, there=len(here)),
    )


def _word(given: Answer, item: Item | None, *, failed: bool) -> str:
    if given.value is None or failed:
        return say(ANSWERS[given.answer or "defect"])
    made = measured.scale_of(item, measured.preferred()) if item else None
    return measured.value(given.value, made) if made else moments.number(given.value)


def _kind(given: Answer, *, failed: bool) -> str:
    if failed:
        return "bad"
    if given.answer == "could_not_check":
        return "unchecked"
    return "remark" if given.note else "good"


def _lacking(given: Answer, item: Item | None, *, failed: bool, there: int) -> str:
    if len(given.photos) > there:
        return say("A photo is named that has not arrived here yet.")
    if failed and item and item.photo and not given.photos:
        return say("A photo was asked for; there is none.")
    return ""
