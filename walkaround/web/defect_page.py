"""One line of defects with all that its page says: what stands, or what ended it."""

from dataclasses import dataclass

from flask import g
from werkzeug.exceptions import NotFound

from walkaround.rules.defect import CLEARED
from walkaround.rules.line import Line
from walkaround.store import defects
from walkaround.store.defects import Times, Told
from walkaround.store.fact_rows import defect_of
from walkaround.store.models import DefectRow
from walkaround.store.standings import Standing
from walkaround.web import moments, reasons
from walkaround.web.defect_lines import (
    Clearing,
    Deferring,
    Found,
    clearing,
    deferring,
    found_of,
    times_words,
)
from walkaround.web.language import say
from walkaround.web.units import standing_of


@dataclass(frozen=True)
class DefectPage:
    """A line as pages show it; `id` is that of the defect whose address was asked for."""

    unit: str
    id: str
    standing: Standing
    line: Line
    title: str
    sign: str
    told: Told

    @property
    def cleared(self) -> bool:
        """Say whether the line has been ended."""
        return self.line.state == CLEARED

    @property
    def found(self) -> list[Found]:
        """Return each defect of the line."""
        return found_of(self.line, self.standing)

    @property
    def finders(self) -> set[str]:
        """Return the crew numbers of those who found it."""
        return {defect.by for defect in self.line.defects if defect.by}

    @property
    def clearings(self) -> list[Clearing]:
        """Return what ended the line."""
        return [clearing(entry) for entry in self.told.clears]

    @property
    def same_person(self) -> bool:
        """Say whether somebody cleared what they had found."""
        return any(entry.by in self.finders for entry in self.told.clears)

    @property
    def deferrals(self) -> list[Deferring]:
        """Return all deferrals of the line, newest first."""
        return [deferring(entry, self.told.withdrawn) for entry in reversed(self.told.defers)]

    def deferring(self, id: str) -> Deferring:
        """Return one of the deferrals; 404 for an unknown one."""
        found = next((one for one in self.deferrals if one.id == id.lower()), None)
        if found is None:
            raise NotFound
        return found

    @property
    def deferred(self) -> str:
        """Return how often it was deferred and since when."""
        if not self.told.defers:
            return ""
        first = moments.moment(self.told.defers[0].made_at)
        return say(
            "Deferred so far: %(times)s, the first time %(when)s.",
            times=len(self.told.defers),
            when=first,
        )

    @property
    def waiting(self) -> list[tuple[str, str]]:
        """Return the reader's own clears and deferrals that still want a confirmation."""
        mine = [e for e in self.told.waiting if e.by == g.person.crew_number]
        return [(entry.id, moments.moment(entry.made_at)) for entry in mine]

    @property
    def before(self) -> list[Clearing]:
        """Return how the item was cleared before, newest first."""
        if not self.line.item:
            return []
        ended = {id for defect in self.line.defects for id in defect.ended}
        place = (self.unit, self.line.item)
        return [clearing(e, at) for at, e in defects.cleared_before(g.db, place, without=ended)]

    @property
    def times(self) -> str:
        """Return how often the item failed before, while it stands."""
        if not self.line.item or self.cleared:
            return ""
        place = (self.unit, self.line.item)
        return times_words(defects.times(g.db, [place], self.standing.now).get(place, Times()))

    @property
    def look_asked(self) -> bool:
        """Say whether the site asks for a second look after the repair of this."""
        return self.line.critical and self.standing.facts.ground.site.second_look_since is not None

    @property
    def look_due(self) -> bool:
        """Say whether that look has not been taken yet."""
        asked = (r.defects for r in self.standing.verdict.reasons if r.code == "second_look")
        return any(set(ids) & set(self.line.ids) for ids in asked)

    @property
    def again(self) -> Line | None:
        """Return what stands on the same item although this line was cleared."""
        same = (one for one in self.standing.lines if one.item and one.item == self.line.item)
        return next(same, None) if self.cleared else None


def page_of(unit: str, id: str) -> DefectPage:
    """Return the line that a defect stands in; 404 for an unknown one."""
    standing, row = standing_of(unit), defects.find(g.db, unit, id)
    if row is None:
        raise NotFound
    line = next((one for one in standing.lines if row.id in one.ids), None) or _ended(row)
    title = reasons.title(line, standing, g.language)
    sign = reasons.sign_of(line, standing)
    told = defects.told(g.db, standing.unit.number, line.ids)
    return DefectPage(standing.unit.number, row.id, standing, line, title, sign, told)


def _ended(row: DefectRow) -> Line:
    found = tuple(defect_of(one) for one in defects.ended_with(g.db, row))
    critical = any(defect.critical for defect in found)
    return Line(row.item, critical, CLEARED, over=False, defects=found, deferral=None)
