"""Change what is said of a unit."""

from sqlalchemy.orm import Session

from walkaround.actions.add_unit import NoSuchUnit
from walkaround.store import facts, settings, units
from walkaround.store.db import retried
from walkaround.store.models import UnitRow


@retried
def set_unit(
    db: Session,
    number: str,
    now: int,
    *,
    title: str | None = None,
    machine: str | None = None,
    biodiesel_limit: float | None = None,
) -> UnitRow:
    """Return the changed unit; raise NoSuchUnit."""
    unit = units.locked(db, number)
    if unit is None:
        raise NoSuchUnit(number=number)
    if title is not None and title.strip():
        unit.title = title.strip()[:80]
    if machine is not None and machine.strip():
        _become(db, unit, " ".join(machine.split()), now)
    if biodiesel_limit is not None:
        settings.put(db, "biodiesel_limit", str(biodiesel_limit), now, about=number)
    if machine is not None or biodiesel_limit is not None:
        facts.project_again(db, unit)
    db.commit()
    return unit


def _become(db: Session, unit: UnitRow, machine: str, now: int) -> None:
    """Call the unit another machine; what it was before still says what is critical on it."""
    if not settings.history(db, "machine", about=unit.number):
        settings.put(db, "machine", unit.machine, now, about=unit.number)
    settings.put(db, "machine", machine, now, about=unit.number)
    unit.machine = machine
