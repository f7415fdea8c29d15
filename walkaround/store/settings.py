"""Settings of the site and its units, with their dates."""

from functools import lru_cache

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules.instant import MINUTE
from walkaround.rules.quantity import SI, Preferred, called
from walkaround.rules.setting import EARLY, Dated, SiteRules
from walkaround.rules.shift import Roster
from walkaround.store import snapshot
from walkaround.store.db import site_of
from walkaround.store.models import SettingRow

History = tuple[tuple[int, str], ...]


def put(db: Session, name: str, value: str, now: int, *, about: str = "") -> None:
    """Let a value hold from now on; the first one holds from the beginning."""
    since = now if history(db, name, about=about) else 0
    db.merge(SettingRow(site=site_of(db), about=about, name=name, since=since, value=value))
    db.flush()
    snapshot.forget(db)


def history(db: Session, name: str, *, about: str = "") -> History:
    """Return (since, value), oldest first."""
    return _of(db, about).get(name, ())


def value(db: Session, name: str, *, about: str = "") -> str | None:
    """Return the value that holds now."""
    found = history(db, name, about=about)
    return found[-1][1] if found else None


def at(db: Session, name: str, instant: int, *, about: str = "") -> str | None:
    """Return the value that held at an instant."""
    found = history(db, name, about=about)
    return Dated(found).at(instant) if found else None


def site_rules(db: Session) -> SiteRules:
    """Return what the site has settled, as the rules take it."""
    names = ("zone", "shifts", "early", "second_look")
    return _rules(*(history(db, name) for name in names))


def units(db: Session) -> Preferred:
    """Return the unit in which the site reads each quantity; those of SI unless set."""
    return {quantity: called(value(db, quantity) or unit) for quantity, unit in SI.items()}


def _of(db: Session, about: str) -> dict[str, History]:
    """Return all settings of the site or of one unit; they are few, and asked for together."""
    return snapshot.once(db, ("settings", about), lambda: _read(db, about))


def _read(db: Session, about: str) -> dict[str, History]:
    row = SettingRow
    query = select(row.name, row.since, row.value).where(row.site == site_of(db))
    found: dict[str, History] = {}
    for name, since, value in db.execute(query.where(row.about == about).order_by(row.since)):
        found[name] = (*found.get(name, ()), (since, value))
    return found


@lru_cache(maxsize=64)
def _rules(zone: History, shifts: History, early: History, second_look: History) -> SiteRules:
    instants = sorted({since for since, _ in zone + shifts})
    roster = Roster.of((t, Dated(zone).at(t), Dated(shifts).at(t)) for t in instants)
    minutes = tuple((since, int(value) * MINUTE) for since, value in early)
    return SiteRules(roster, minutes or ((0, EARLY),), _on_since(second_look))


def _on_since(history: History) -> int | None:
    """Return since when it has been on without a break, if it is on."""
    since = None
    for start, value in history:
        since = (start if since is None else since) if value == "on" else None
    return since
