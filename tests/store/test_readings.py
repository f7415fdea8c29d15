from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.enter import Sender, enter
from walkaround.store import readings, units


def last_at(db: Session) -> int:
    unit = units.find(db, "L07")
    assert unit is not None
    return readings.last_at(db, unit)


def given(db: Session, kind: str, body: dict, by: str, minutes: float) -> None:
    made = enter(db, make.entry(kind, body, minutes=minutes), Sender(by, True), make.at(minutes))
    assert made.result == "accepted", made


def test_without_a_reading_the_unit_s_first_day_counts(db: Session):
    assert last_at(db) == make.DAWN


def test_the_last_reading_counts(db: Session):
    given(db, "hours", {"value": 84.5}, "101", 30)

    assert last_at(db) == make.at(30)


def test_a_doubtful_reading_does_not_count(db: Session):
    given(db, "hours", {"value": 990, "insisted": True}, "101", 30)

    assert last_at(db) == make.DAWN


def test_a_new_meter_counts_as_read(db: Session):
    given(db, "meter_change", {"old": 85, "new": 0, "note": "glass broken"}, "301", 40)

    assert last_at(db) == make.at(40)
