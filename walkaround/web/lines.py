"""Lines of defects in words, as pages about a unit show them."""

from collections.abc import Iterable
from dataclasses import dataclass

from flask import g, url_for

from walkaround.rules.line import Line
from walkaround.rules.words import say as say_text
from walkaround.store import people, photos
from walkaround.store.standings import Standing
from walkaround.web import moments, reasons
from walkaround.web.language import say
from walkaround.web.photos import folder


@dataclass(frozen=True)
class LineWords:
    """One line of defects; pictures are (address, words)."""

    title: str
    sign: str
    found: tuple[str, ...]
    since: str
    critical: bool
    deferred: bool
    restrictions: tuple[str, ...]
    until: str
    pictures: tuple[tuple[str, str], ...]
    lacking: str  # what is said where a photo was asked for and is not there
    defect: str  # the id of the first of them


def lines_of(standing: Standing) -> list[LineWords]:
    """Return what is not cleared on a unit, worst and oldest first."""
    return [line_words(line, standing) for line in standing.lines]


def line_words(line: Line, standing: Standing) -> LineWords:
    """Return one line in words."""
    title = reasons.title(line, standing, g.language)
    said = (
        reasons.words(d.failure, reasons.item_of(d, standing), g.language) for d in line.defects
    )
    names = tuple(dict.fromkeys(name for d in line.defects for name in d.failure.photos))
    here = photos.here(g.db, names)
    return LineWords(
        title=title,
        sign=reasons.sign_of(line, standing),
        found=tuple(dict.fromkeys(words for words in said if words and words != title)),
        since=_since(line),
        critical=line.critical,
        deferred=line.state == "deferred",
        restrictions=line.deferral.restrictions if line.deferral else (),
        until=_until(line),
        pictures=pictures_of(names, here, title),
        lacking=_lacking(line, standing, len(names) - len(here), bool(names)),
        defect=line.defects[0].id,
    )


def pictures_of(names: Iterable[str], here: set[str], words: str) -> tuple[tuple[str, str], ...]:
    """Return the address and the words of each photo that is here; "" where its file is gone."""
    return tuple((picture(name), words) for name in names if name in here)


def picture(sha256: str) -> str:
    """Return where a photo is shown, "" if it cannot be: a disk may have lost what was kept."""
    kept = folder().has(f"{sha256}.{photos.SMALL}")
    return url_for("photos.show", sha256=sha256) if kept else ""


def sent_before(names: Iterable[str]) -> tuple[str, ...]:
    """Return what a form names as photos that are here: a name made up must spoil no entry."""
    wanted = tuple(dict.fromkeys(names))
    here = photos.here(g.db, wanted)
    return tuple(name for name in wanted if name in here)


def who(crew_number: str | None) -> str:
    """Return somebody's name; the number where nobody has that one."""
    row = people.find(g.db, crew_number) if crew_number else None
    return row.name if row else crew_number or say("somebody")


def item_title(standing: Standing, checklist: str, version: str, item: str) -> str:
    """Return what an item of a list is called."""
    known = standing.facts.ground.lists.find(checklist, version)
    found = known.item(item) if known else None
    return say_text(found.look, g.language) if found else item


def _since(line: Line) -> str:
    by, when = who(line.defects[0].by), moments.moment(line.since)
    if len(line.defects) == 1:
        return say("found by %(who)s, %(when)s", who=by, when=when)
    times = len(line.defects)
    return say("found %(times)s times, first by %(who)s, %(when)s", times=times, who=by, when=when)


def _until(line: Line) -> str:
    if not line.deferral:
        return ""
    until = moments.moment(line.deferral.until)
    if line.over:
        return say("The deferral is over (it held until %(until)s).", until=until)
    if line.deferral.until_hours:
        hours = moments.number(min(line.deferral.until_hours))
        return say("Deferred until %(until)s or %(hours)s h.", until=until, hours=hours)
    return say("Deferred until %(until)s.", until=until)


def _lacking(line: Line, standing: Standing, on_their_way: int, named: bool) -> str:
    if on_their_way:
        return say("A photo is named that has not arrived here yet.")
    item = reasons.item_of(line.defects[-1], standing)
    return say("A photo was asked for; there is none.") if item and item.photo and not named else ""
