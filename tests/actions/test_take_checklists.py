"""Taking a folder of checklists in: what changes, and what a broken folder must not change."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.people import NOON, fresh_db
from walkaround.actions.take_checklists import Taken, take_checklists
from walkaround.rules.instant import HOUR
from walkaround.store import checklists

LIST = """\
checklist: roller-start
title: Roller
machine: roller
occasion: start_of_shift
stations:
  - station: drum
    title: Drum
    engine: stopped
    items:
      - {item: scraper, look: Scraper, good: Touches the drum}
"""


@pytest.fixture
def db() -> Iterator[Session]:
    with fresh_db() as session:
        yield session


def take(db: Session, folder: Path, text: str, now: int = NOON) -> Taken:
    """Write the list and take its folder in."""
    (folder / "roller.yaml").write_text(text)
    return take_checklists(db, folder, now)


def title(db: Session) -> str | None:
    """Return the title of the list in force."""
    found = checklists.in_force(db, "roller", "start_of_shift")
    return found.title["en"] if found else None


def test_new_versions_are_returned_and_kept(db: Session, tmp_path: Path) -> None:
    taken = take(db, tmp_path, LIST)
    db.rollback()

    assert ([made.name for made in taken.new], taken.errors) == (["roller-start"], [])
    assert title(db) == "Roller"


def test_a_second_taking_finds_nothing_new(db: Session, tmp_path: Path) -> None:
    take(db, tmp_path, LIST)

    assert take(db, tmp_path, f"{LIST}# a note\n", NOON + HOUR) == Taken([], [])


def test_the_version_in_force_stays_while_its_file_is_broken(db: Session, tmp_path: Path) -> None:
    take(db, tmp_path, LIST)

    taken = take(db, tmp_path, LIST.replace("title: Roller", "title: a: b"), NOON + HOUR)

    assert [str(error).rpartition("/")[2][:16] for error in taken.errors] == ["roller.yaml:2:9:"]
    assert (taken.new, title(db)) == ([], "Roller")


def test_a_mended_file_takes_over(db: Session, tmp_path: Path) -> None:
    for text in (LIST, "broken: [", LIST.replace("title: Roller", "title: Better")):
        take(db, tmp_path, text)

    assert title(db) == "Better"


def test_an_empty_folder_ends_nothing(db: Session, tmp_path: Path) -> None:
    take(db, tmp_path, LIST)
    (tmp_path / "roller.yaml").unlink()

    taken = take_checklists(db, tmp_path, NOON + HOUR)

    assert "there is no checklist" in taken.errors[0].sentence
    assert title(db) == "Roller"


def test_a_folder_that_is_gone_ends_nothing(db: Session, tmp_path: Path) -> None:
    take(db, tmp_path, LIST)

    take_checklists(db, tmp_path / "unmounted", NOON + HOUR)

    assert title(db) == "Roller"
