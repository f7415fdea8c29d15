"""The invented site, a few of its days at a time; tests/test_demo.py fills all sixty."""

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import event, select
from sqlalchemy.orm import Session

from tests.people import some_keys
from walkaround import places
from walkaround.actions.load_demo import Ground, is_full, load_demo
from walkaround.actions.open_site import SiteExists, open_site
from walkaround.rules import instant
from walkaround.store import demo_site, logbook, photos, schema, standings, units
from walkaround.store.db import make_engine, make_session
from walkaround.store.models import EntryRow, PhotoRow, ReadingRow, WalkRow

DAYS = 4
AS_PROMISED = {
    "laid_up": {"B01"},
    "tagged_out": {"E05", "L08", "L11", "T22"},
    "not_checked": {"F04", "G01", "T23"},
    "ok_with_restrictions": {"H06"},
    "ok_to_run": {"D02", "E03", "F01", "L07", "R02", "T21", "W01"},
}
# Madrid is an hour ahead of UTC in winter, two in summer (IANA time zone data, Europe/Madrid).
HOURS = ["03:00", "05:59", "06:00", "13:29", "13:59", "14:01"]


def madrid(clock: str, day: str = "2026-11-25", offset: str = "+01:00") -> int:
    return instant.parse(f"{day}T{clock}:00{offset}")


TEN = madrid("10:00")


def few_days() -> demo_site.DemoSite:
    """The site with its last days alone; the lay-up, which is older, moves up to them."""
    site = demo_site.read(places.demo())
    moved = [{**one, "days": -3} if one["kind"] == "lay_up" else one for one in site.steps]
    steps = [one for one in moved if one.get("days", 0) > -DAYS]
    return replace(site, days=DAYS, steps=steps)


@contextmanager
def empty(folder: Path, url: str = "") -> Iterator[tuple[Session, Ground]]:
    """Give a session over empty tables, and what the site is made from."""
    folder.mkdir()
    engine = make_engine(url or f"sqlite:///{folder}/walkaround.db")
    if not url:
        event.listen(engine, "connect", lambda made, _: made.execute("pragma synchronous=off"))
    schema.upgrade(engine)
    store = photos.Folder(folder / "photos")
    with make_session(engine) as db:
        yield db, Ground(some_keys(), store, few_days(), places.checklists())
    engine.dispose()


@contextmanager
def filled(folder: Path, now: int) -> Iterator[Session]:
    with empty(folder) as (db, ground):
        load_demo(db, ground, now, lambda _words: None)
        yield db


@pytest.fixture(scope="module")
def ten(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """The site at ten in the morning, made once; tests only read it."""
    with filled(tmp_path_factory.mktemp("demo") / "site", TEN) as db:
        yield db


def states(db: Session, now: int) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for standing in standings.every(db, now):
        found.setdefault(standing.verdict.state, set()).add(standing.unit.number)
    return found


@pytest.mark.parametrize("clock", HOURS)
def test_the_board_looks_as_promised_at_any_hour(tmp_path: Path, clock: str):
    now = madrid(clock)

    with filled(tmp_path / "site", now) as db:
        assert states(db, now) == AS_PROMISED
        assert [b for unit in logbook.numbers(db) if (b := logbook.verify(db, unit))] == []


@pytest.mark.parametrize(
    ("day", "offset"),
    [("2026-10-26", "+01:00"), ("2027-03-29", "+02:00")],
)  # around the last Sundays of October and March, when the clocks change (2000/84/EC)
def test_a_clock_change_does_not_disturb_it(tmp_path: Path, day: str, offset: str):
    now = madrid("10:15", day, offset)

    with filled(tmp_path / "site", now) as db:
        assert states(db, now) == AS_PROMISED


def test_the_next_shift_is_walked_as_soon_as_it_is_near(tmp_path: Path):
    with filled(tmp_path / "site", madrid("13:59")) as db:
        soon = states(db, madrid("14:01"))

    assert soon == AS_PROMISED


def test_each_kind_of_reason_is_there_to_be_seen(ten: Session):
    found = Counter(r.code for s in standings.every(ten, TEN) for r in s.verdict.reasons)

    assert found == Counter(
        defect=3,
        hold=1,
        deferral_over=1,
        laid_up=1,
        cut_short=1,
        unconfirmed=1,
        deferred=1,
        not_walked=4,  # F04 alone, and beside other reasons B01, E05, T22
    )


def test_one_open_defect_is_critical_and_has_its_photo(ten: Session):
    lines = {s.unit.number: s.lines for s in standings.every(ten, TEN)}
    taken = set(ten.scalars(select(PhotoRow.sha256)))

    critical = [(unit, line) for unit, all in lines.items() for line in all if line.critical]
    assert [unit for unit, _ in critical] == ["L08"]
    assert set(critical[0][1].defects[0].failure.photos) <= taken
    assert len(taken) >= 3


def test_the_same_seed_and_the_same_now_make_the_same_logbooks(ten: Session, tmp_path: Path):
    first = {unit.number: unit.hash for unit in units.every(ten)}

    with filled(tmp_path / "again", TEN) as db:
        again = {unit.number: unit.hash for unit in units.every(db)}

    assert again == first
    assert len(set(first.values())) == len(few_days().units)


@pytest.mark.postgres
def test_postgresql_holds_the_same_site(ten: Session, tmp_path: Path, postgres_url: str):
    first = {unit.number: unit.hash for unit in units.every(ten)}

    with empty(tmp_path / "site", postgres_url) as (db, ground):
        load_demo(db, ground, TEN, lambda _words: None)
        again = {unit.number: unit.hash for unit in units.every(db)}

    assert again == first


def test_walks_take_believable_times_and_nobody_is_in_two_places(ten: Session):
    rows = list(ten.scalars(select(WalkRow).order_by(WalkRow.by, WalkRow.started_at)))

    minutes = [(row.made_at - row.started_at) / instant.MINUTE for row in rows]
    assert min(minutes) >= 5
    assert max(minutes) <= 14
    for one, next in zip(rows, rows[1:], strict=False):
        assert one.by != next.by or one.made_at <= next.started_at


def test_hours_rise_and_none_is_doubtful(ten: Session):
    began = {unit["number"]: unit["hours"] for unit in few_days().units}
    stand = {unit.number: unit.standing for unit in units.every(ten)}
    unconfirmed = select(ReadingRow).where(ReadingRow.counts.is_(False))

    assert all(stand[number] >= hours for number, hours in began.items())
    assert {row.unit for row in ten.scalars(unconfirmed)} <= {"T23"}
    assert stand["L07"] > began["L07"] + 10


def test_who_reads_spanish_writes_spanish():
    site = demo_site.read(places.demo())

    assert {one["language"] for one in site.people if "language" in one} == {"es"}
    assert all({"en", "es"} <= one["note"].keys() for one in (*site.faults, *site.remarks))


def test_a_site_of_real_people_is_left_alone(tmp_path: Path):
    with empty(tmp_path / "site") as (db, ground):
        open_site(db, "Real", "Europe/Madrid", "06:00,14:00,22:00", madrid("09:00"))

        with pytest.raises(SiteExists, match="Real"):
            load_demo(db, ground, madrid("10:00"), lambda _words: None)


def test_what_was_cut_off_half_way_is_made_anew(tmp_path: Path):
    now = madrid("10:00")

    with empty(tmp_path / "site") as (db, ground):
        with pytest.raises(KeyboardInterrupt):
            load_demo(db, ground, now, _cut_at("week 1"))
        begun = db.scalars(select(EntryRow.id)).all()
        full_before = is_full(db)
        load_demo(db, ground, now, lambda _words: None)

        assert begun
        assert not full_before
        assert is_full(db)
        assert states(db, now) == AS_PROMISED


def _cut_at(words: str) -> Callable[[str], None]:
    def tell(said: str) -> None:
        if said.startswith(words):
            raise KeyboardInterrupt

    return tell
