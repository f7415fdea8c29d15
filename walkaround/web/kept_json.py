"""What a phone keeps of the site for when there is no signal: nobody's name stands in it."""

import hashlib
import math
from collections.abc import Mapping
from typing import Any

from flask import current_app, g, url_for

from walkaround.rules import instant
from walkaround.rules.checklist import Checklist
from walkaround.rules.instant import DAY
from walkaround.rules.line import Line
from walkaround.rules.lists import START
from walkaround.rules.shift_choice import coming
from walkaround.store import (
    checklists,
    labels,
    measures,
    people,
    readings,
    settings,
    standings,
    units,
)
from walkaround.store.lists import lists
from walkaround.store.standings import Standing
from walkaround.web import measured, moments, release
from walkaround.web.language import machine
from walkaround.web.lines import line_words
from walkaround.web.unit_json import verdict_json
from walkaround.web.units import OCCASIONS, restrictions
from walkaround.web.walk_asked import Look, looks_of

DAYS = 9  # a phone that was here any time this week still knows today's shifts
OFFLINE_LIMIT = 12  # hours
SETTINGS = ("zone", "shifts", "early", "second_look", "offline_limit")


def revision(now: int) -> str:
    """Return what changes whenever something here does; that time passes phones know."""
    seen = [(one.number, one.title, one.machine, one.seq, one.hash) for one in units.every(g.db)]
    present = settings.site_rules(g.db).roster.at(now)
    known = (
        release.digest(),
        g.language,
        seen,
        sorted(labels.every(g.db).items()),
        [(v.checklist.name, v.checklist.version, v.since, v.until) for v in lists(g.db).versions],
        [settings.history(g.db, name) for name in SETTINGS],
        [_biodiesel_limit(one.number) for one in units.every(g.db)],
        measured.written(measured.preferred()),
        present.start if present else now // DAY,
        _signed_in(),
    )
    return hashlib.sha256(repr(known).encode()).hexdigest()[:32]


def kept_json(now: int) -> dict[str, Any]:
    """Return all that a phone keeps; instants are UTC milliseconds, as scripts count."""
    site, found = settings.site_rules(g.db), standings.every(g.db, now)
    tokens = labels.every(g.db)
    limit = settings.value(g.db, "offline_limit")
    return {
        "release": release.digest(),
        "language": g.language,
        "site": g.db.info["site"],
        "zone": g.zone,
        "limit": (OFFLINE_LIMIT if limit is None else int(limit)) * instant.HOUR,
        "seal_key": current_app.extensions["walkaround"].keys.seal_jwk(),
        "device": g.phone.id if g.phone else None,
        "signed_in": _signed_in(),
        "measured_in": measured.written(measured.preferred()),
        "shifts": [
            {"start": shift.start, "end": shift.end, "early": since}
            for shift, since in coming(site, now, now + DAYS * DAY)
        ],
        "pages": _pages(found),
        "units": [_unit(one, tokens.get(one.unit.number)) for one in found],
    }


def _signed_in() -> dict[str, Any] | None:
    """Return whose work goes out as theirs without a further proof, and until when."""
    if not g.session:
        return None
    row = people.require(g.db, g.person.crew_number)
    ends = [at for at in (g.session.ends_at, row.left_at) if at is not None]
    return {"crew_number": row.crew_number, "until": min(ends)}


def _pages(found: list[Standing]) -> list[str]:
    """Return the addresses of the lists' pages, one for every version that is in force here."""
    known = {
        (one.name, one.version, occasion)
        for standing in found
        for occasion, one in _lists(standing).items()
    }
    pages = [url_for("kept.walk", checklist=n, edition=v) for n, v, _ in known]
    pages += [url_for("kept.report", checklist=n, edition=v) for n, v, o in known if o == START]
    return sorted(pages)


def _lists(standing: Standing) -> Mapping[str, Checklist]:
    found = {name: checklists.in_force(g.db, standing.unit.machine, name) for name in OCCASIONS}
    return {name: one for name, one in found.items() if one}


def _unit(standing: Standing, token: str | None) -> dict[str, Any]:
    unit, known = standing.unit, _lists(standing)
    return {
        "number": unit.number,
        "title": machine(unit.title),
        "seq": unit.seq,
        "hash": unit.hash,
        "label": hashlib.sha256(token.encode()).hexdigest() if token else None,
        "verdict": _verdict(standing),
        "restrictions": restrictions(standing),
        "hours": standing.hours,
        "hours_at": readings.last_at(g.db, unit),
        "biodiesel_limit": _biodiesel_limit(unit.number),
        "lines": [_line(standing, place) for place in range(len(standing.lines))],
        "lists": {name: _list(one) for name, one in known.items()},
        "measured": {
            item: max(at)
            for one in known.values()
            for item, at in measures.last(g.db, unit.number, one).items()
        },
        "looks": [
            _look(standing, look)
            for look in looks_of(standing, list(known[START].items) if START in known else [])
        ],
    }


def _look(standing: Standing, look: Look) -> dict[str, Any]:
    defects = [one for one in standing.facts.defects if one.ended and one.ended[0] == look.clear]
    return {
        "clear": look.clear,
        "at": max(one.cleared_at or 0 for one in defects),
        "mine": look.mine,
        "work": look.work,
        "things": look.things,
        "items": look.items,
    }


def _verdict(standing: Standing) -> dict[str, Any]:
    made = verdict_json(standing, g.language)
    return {**made, "valid_until": standing.verdict.valid_until}


def _list(checklist: Checklist) -> dict[str, Any]:
    return {
        "name": checklist.name,
        "version": checklist.version,
        "valid_for": checklist.valid_for,
    }


def _line(standing: Standing, place: int) -> dict[str, Any]:
    line = standing.lines[place]
    said = line_words(line, standing)
    return {
        "item": line.item,
        "title": said.title,
        "found": said.found,
        "since": moments.moment(line.since),
        "critical": line.critical,
        "deferred": said.deferred,
        "defects": line.ids,
        **_ends(line, standing),
        "until_words": said.until,
        "restrictions": said.restrictions,
    }


def _ends(line: Line, standing: Standing) -> dict[str, Any]:
    """Return whose own deferrals a line rests on, and when the first of them is over."""
    lists, meter = standing.facts.ground.lists, standing.facts.meter
    own = {one.id: one.deferral for one in line.defects if one.deferral}
    held = {id: one for id, one in own.items() if one.in_force(standing.now, meter)}
    hours = [meter.shown(h, one.since) for one in held.values() for h in one.until_hours]
    critical = lists.critical(None, line.item, [standing.unit.machine])
    return {
        "bases": [] if critical else list(held),  # what else is found there is no worse than these
        "until": min((one.until for one in held.values()), default=None),
        "until_hours": math.floor(min(hours) * 1000) / 1000 if hours else None,  # never later
    }


def _biodiesel_limit(number: str) -> float | None:
    limit = settings.value(g.db, "biodiesel_limit", about=number)
    return None if limit is None else float(limit)
