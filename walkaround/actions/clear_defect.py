"""Clear a line of defects: a mechanic signs for the work done, and it ends."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from walkaround.actions.enter import Result
from walkaround.actions.make_entry import Signer, make_entry
from walkaround.rules import reading
from walkaround.rules.refusal import N_, Refusal
from walkaround.store import defects, readings, units
from walkaround.store.models import DefectRow


class NothingNamed(Refusal):
    sentence = N_("No defect is named. Open the page of the defect again.")


class NotOfUnit(Refusal):
    sentence = N_("%(unit)s has no such defect. Open the page of the defect again.")


class AlreadyCleared(Refusal):
    sentence = N_(
        "Somebody else cleared this while your page was open. Nothing was entered: "
        "read first what was done, and talk with each other."
    )


class ReadingLower(Refusal):
    sentence = N_(
        "The hour meter stood at %(hours)s h before: it cannot go back. "
        "Leave it empty if it really shows this, and tell the supervisor."
    )


class ReadingTooHigh(Refusal):
    sentence = N_(
        "That is more than has passed since the last reading of %(hours)s h. "
        "Leave it empty if it really shows this, and tell the supervisor."
    )


@dataclass(frozen=True)
class Work:
    """What was done, and what it used."""

    outcome: str  # repaired or no_fault_found
    work: str
    parts: str = ""
    hours: float | None = None
    photos: tuple[str, ...] = ()


def clear_defect(
    db: Session, unit: str, ids: tuple[str, ...], work: Work, signer: Signer, now: int
) -> Result:
    """End exactly these defects.

    Raise NothingNamed, NotOfUnit, AlreadyCleared, ReadingLower, ReadingTooHigh or NotEntered.
    """

    def check() -> None:
        standing(db, unit, ids)
        _check_hours(db, unit, work.hours, now)

    body = {
        "defects": list(ids),
        "outcome": work.outcome,
        "work": work.work.strip(),
        "parts": work.parts.strip(),
        "hours": work.hours,
        "photos": list(work.photos),
    }
    return make_entry(db, "clear", unit, body, signer, now, check=check)


def standing(db: Session, unit: str, ids: tuple[str, ...]) -> list[DefectRow]:
    """Return the defects as they stand; an ending must not wait for one that nobody has found."""
    if not ids:
        raise NothingNamed
    found = defects.named(db, unit, ids)
    if len(found) != len(set(ids)):
        raise NotOfUnit(unit=unit)
    if all(defect.state != "standing" for defect in found):
        raise AlreadyCleared
    return found


def _check_hours(db: Session, unit: str, hours: float | None, now: int) -> None:
    """A clear says nothing of doubt, so a reading that cannot be right must not enter with it."""
    row = units.find(db, unit)
    if hours is None or row is None or row.standing is None:
        return
    why = reading.strange(hours, row.standing, readings.last_at(db, row), now)
    if why:
        error = ReadingLower if why == reading.LOWER else ReadingTooHigh
        raise error(hours=f"{row.standing:g}")
