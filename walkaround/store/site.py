"""The site that a database holds, and its language."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.store import settings
from walkaround.store.models import SiteRow


def the_site(db: Session) -> str | None:
    """Return the id of the site, or None before `init`; the session belongs to it from now on."""
    if db.info.get("site") is None:
        db.info["site"] = db.scalar(select(SiteRow.id).limit(1))
    site: str | None = db.info["site"]
    return site


def language(db: Session) -> str:
    """Return the site's language."""
    return settings.value(db, "language") or "en"
