"""Defer a line of defects: the unit may run with them, under restrictions, until an end."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from walkaround.actions.clear_defect import standing
from walkaround.actions.enter import DEFER_DAYS, Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules import instant
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import settings, units
from walkaround.store.models import DefectRow


class Critical(Refusal):
    sentence = N_(
        "This can kill, so it cannot be deferred: the unit stays tagged out until it is cleared."
    )


class TooFarOn(Refusal):
    sentence = N_("A defect can be deferred for %(days)s days at the most. Choose a sooner end.")


class Past(Refusal):
    sentence = N_("The end of the deferral must lie ahead.")


class HoursReached(Refusal):
    sentence = N_("The hour meter stands at %(hours)s h already. Choose a higher reading.")


@dataclass(frozen=True)
class Terms:
    """What the unit may not do meanwhile, and until when (or a reading, if that comes sooner)."""

    restrictions: str
    until: int
    until_hours: float | None = None


def defer_defect(
    db: Session, unit: str, ids: tuple[str, ...], terms: Terms, signer: Signer, now: int
) -> Result:
    """Let the unit run with these defects.

    Raise Critical, TooFarOn, Past, HoursReached, or what clearing raises.
    """

    def check() -> None:
        _check(db, unit, standing(db, unit, ids), terms, now)

    body = {
        "defects": list(ids),
        "restrictions": terms.restrictions.strip(),
        "until": instant.text(terms.until),
        "until_hours": terms.until_hours,
    }
    return make_entry(db, "defer", unit, body, signer, now, check=check)


def longest(db: Session, now: int) -> int:
    """Return how many days a defect can be deferred."""
    return int(settings.at(db, "defer_days", now) or DEFER_DAYS)


def _check(db: Session, unit: str, found: list[DefectRow], terms: Terms, now: int) -> None:
    if any(defect.critical for defect in found):
        raise Critical
    days, row = longest(db, now), units.find(db, unit)
    if terms.until > now + days * instant.DAY:
        raise TooFarOn(days=days)
    if terms.until <= now:
        raise Past
    stands = row.standing if row else None
    if terms.until_hours is not None and stands is not None and terms.until_hours <= stands:
        raise HoursReached(hours=f"{stands:g}")
