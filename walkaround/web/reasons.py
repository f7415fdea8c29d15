"""Reasons and defects in words."""

from walkaround.rules.answer import Failure
from walkaround.rules.checklist import Item
from walkaround.rules.defect import Defect
from walkaround.rules.line import Line
from walkaround.rules.refusal import N_
from walkaround.rules.scale import scale
from walkaround.rules.verdict import Reason
from walkaround.rules.words import say as say_text
from walkaround.store.standings import Standing
from walkaround.web import measured
from walkaround.web.language import say
from walkaround.web.moments import moment
from walkaround.web.whys import why
from walkaround.words import LANGUAGES

STATES = {
    "laid_up": N_("Laid up"),
    "tagged_out": N_("Tagged out"),
    "not_checked": N_("Not checked"),
    "ok_with_restrictions": N_("OK with restrictions"),
    "ok_to_run": N_("OK to run"),
}


def state(name: str) -> str:
    """Return the one or two words of a state."""
    return say(STATES[name])


def text(reason: Reason, standing: Standing, language: str) -> str:
    """Return a reason as one sentence."""
    if reason.defects and reason.code != "second_look":
        return _of_line(reason, standing, language)
    if reason.hold or reason.lay_up:
        hold = next(h for h in standing.facts.holds if h.id in (reason.hold, reason.lay_up))
        sentence = N_("Hold: %(words)s") if reason.hold else N_("Laid up: %(words)s")
        return say(sentence, words=hold.reason)
    if reason.code == "doubt":
        doubt = next(d for d in standing.facts.doubts if d.about == reason.about)
        return say("In doubt: %(words)s", words=why(doubt.why))
    return say(_PLAIN[reason.code])


_PLAIN = {
    "cut_short": N_("Cut short: not everything that was due could be checked"),
    "unconfirmed": N_("A walk-around of this shift is there, but it is not confirmed"),
    "not_walked": N_("Nobody has walked it this shift"),
    "second_look": N_("A second look is due after the repair of something that can kill"),
}


def item_of(defect: Defect, standing: Standing) -> Item | None:
    """Return the item that failed, as its checklist has it."""
    if defect.failure.item is None:
        return None
    versions = standing.facts.ground.lists.versions
    known = [v.checklist for v in versions if v.checklist.version == defect.version]
    known += [
        v.checklist for v in versions if v.checklist.name == (defect.checklist or v.checklist.name)
    ]
    return next(filter(None, (one.item(defect.failure.item) for one in known)), None)


def sign_of(line: Line, standing: Standing) -> str:
    """Return the sign of a line's item, or nothing."""
    item = item_of(line.defects[0], standing)
    return item.sign if item else ""


def title(line: Line, standing: Standing, language: str) -> str:
    """Return what a line of defects is about: its item, or the words of what was reported."""
    item = item_of(line.defects[0], standing)
    if item:
        return say_text(item.look, language)
    if line.item == "biodiesel":
        return say("Biodiesel in the fuel")
    return line.item or (line.defects[0].failure.note or "")


def words(failure: Failure, item: Item | None, language: str) -> str:
    """Return what was found, in the words that were tapped and written."""
    said = [_finding(name, item, language) for name in failure.findings]
    if failure.value is not None:
        said.append(_value(failure.value, failure, item))
    if failure.answer == "not_fitted":
        said.append(say("not fitted"))
    if failure.answer == "no_worse":
        said.append(say("no worse"))
    note = "" if _repeats(failure, item) else failure.note or ""
    stop = ". " if note[:1].isupper() else ", "  # as the one who wrote it began
    return stop.join(filter(None, (", ".join(said), note)))


def _repeats(failure: Failure, item: Item | None) -> bool:
    """Say whether the note only says once more what was tapped, in whatever language."""
    tapped = [[_finding(name, item, one) for name in failure.findings] for one in LANGUAGES]
    return (failure.note or "").casefold() in [
        ", ".join(said).casefold() for said in tapped if said
    ]


def _of_line(reason: Reason, standing: Standing, language: str) -> str:
    line = next(one for one in standing.lines if set(reason.defects) <= set(one.ids))
    newest = [d for d in line.defects if d.id in reason.defects][-1]
    name = title(line, standing, language)
    found = words(newest.failure, item_of(newest, standing), language)
    whole = f"{name}: {found}" if found and found != name else name
    if reason.code == "deferral_over" and line.deferral:
        until = moment(line.deferral.until)
        return say("Deferral over (until %(until)s): %(words)s", until=until, words=whole)
    if reason.code == "deferred" and line.deferral:
        limits = "; ".join(line.deferral.restrictions)
        return f"{limits} ({whole})"
    return whole


def _finding(name: str, item: Item | None, language: str) -> str:
    known = item.findings.get(name) if item else None
    return say_text(known, language) if known else name


def _value(value: float, failure: Failure, item: Item | None) -> str:
    """Return a value and the limit that it is beyond, by the list that it failed by."""
    unit = failure.unit or (item.measure.unit if item and item.measure else "")
    made = scale(unit, failure.low, failure.high, measured.preferred())
    said = measured.value(value, made)
    if made.low is not None and failure.low is not None and value < failure.low:
        limit = say("at least %(limit)s", limit=measured.figure(made.low, made))
        return f"{said} ({limit})"
    if made.high is not None and failure.high is not None and value > failure.high:
        limit = say("at most %(limit)s", limit=measured.figure(made.high, made))
        return f"{said} ({limit})"
    return said
