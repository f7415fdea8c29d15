"""Open a site: the first thing that is done with an empty database."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules.refusal import N_, Refusal
from walkaround.rules.shift import Roster
from walkaround.store import settings
from walkaround.store.db import retried
from walkaround.store.models import SiteRow


class SiteExists(Refusal):
    sentence = N_("There is a site here already, %(site)s: nothing was changed.")


class NoName(Refusal):
    sentence = N_("A site needs a name.")


@retried
def open_site(
    db: Session,
    name: str,
    zone: str,
    shifts: str,
    now: int,
    *,
    early: int = 60,
    language: str = "en",
) -> None:
    """Make the site; raise SiteExists, or ShiftTimesError or ZoneError for impossible shifts."""
    if (there := db.scalar(select(SiteRow.id))) is not None:
        raise SiteExists(site=there)
    if not name.strip():
        raise NoName
    Roster.of([(0, zone, shifts)])
    db.info["site"] = name.strip()
    db.add(SiteRow(id=name.strip(), made_at=now))
    # A second look is off from the beginning: what was cleared before it is asked for needs none.
    values = {"zone": zone, "shifts": shifts, "early": str(early), "language": language}
    for setting, value in (values | {"second_look": "off"}).items():
        settings.put(db, setting, value, now)
    db.commit()
