"""Versions of checklists: which is in force, and that none is ever lost."""

from collections.abc import Iterator

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.people import NOON, fresh_db
from walkaround.rules.checklist import from_plain
from walkaround.rules.instant import HOUR
from walkaround.store import checklists
from walkaround.store.checklists_yaml import Document, version_of
from walkaround.store.models import ChecklistVersionRow

LATER = NOON + HOUR


@pytest.fixture
def db() -> Iterator[Session]:
    with fresh_db() as session:
        yield session


def document(
    name: str = "loader", title: str = "Loader", machine: str = "wheel loader"
) -> Document:
    """Return a document as if read from a file of its name."""
    item = {"item": "tyre", "look": "Tyre", "good": "No cut"}
    station = {"station": "front", "title": "Front", "engine": "stopped", "items": [item]}
    plain = {"checklist": name, "title": title, "machine": machine, "occasion": "start_of_shift"}
    plain["stations"] = [station]  # type: ignore[assignment]
    return Document(f"{name}.yaml", plain, from_plain(plain, version_of(plain)), {})


def title(db: Session, machine: str = "wheel loader") -> str | None:
    """Return the title of the list in force."""
    found = checklists.in_force(db, machine, "start_of_shift")
    return found.title["en"] if found else None


def since_and_until(db: Session) -> list[tuple[str, int, int | None]]:
    rows = db.scalars(select(ChecklistVersionRow).order_by(ChecklistVersionRow.since))
    return [(row.checklist, row.since, row.until) for row in rows]


def test_the_first_lists_hold_from_the_beginning(db: Session) -> None:
    new = checklists.sync(db, [document()], NOON)

    assert new == [("loader", document().checklist.version)]
    assert since_and_until(db) == [("loader", 0, None)]


def test_a_changed_list_ends_the_version_before(db: Session) -> None:
    checklists.sync(db, [document()], NOON)

    checklists.sync(db, [document(title="Better")], LATER)

    assert since_and_until(db) == [("loader", 0, LATER), ("loader", LATER, None)]
    assert title(db) == "Better"
    assert len(checklists.all_versions(db)) == 2


def test_the_same_lists_again_change_nothing(db: Session) -> None:
    checklists.sync(db, [document()], NOON)

    assert checklists.sync(db, [document()], LATER) == []
    assert since_and_until(db) == [("loader", 0, None)]


def test_a_version_that_comes_back_is_in_force_again(db: Session) -> None:
    for held in (document(), document(title="Better"), document()):
        checklists.sync(db, [held], NOON)

    assert title(db) == "Loader"
    assert len(since_and_until(db)) == 2


def test_a_list_that_is_taken_away_ends_but_can_be_found(db: Session) -> None:
    checklists.sync(db, [document(), document("any", machine="any")], NOON)

    checklists.sync(db, [document("any", "Generic", "any")], LATER)

    assert title(db) == "Generic"
    assert checklists.find(db, "loader", document().checklist.version) == document().checklist


def test_a_broken_file_ends_nothing_of_its_own(db: Session) -> None:
    checklists.sync(db, [document(), document("roller", machine="roller")], NOON)

    checklists.sync(db, [], LATER, broken={"loader.yaml"})

    assert title(db) == "Loader"
    assert title(db, "roller") is None


def test_a_broken_file_does_not_hold_up_its_list_in_another_file(db: Session) -> None:
    checklists.sync(db, [document()], NOON)

    checklists.sync(db, [document(title="Better")], LATER, broken={"loader.yaml"})

    assert [row[2] for row in since_and_until(db)] == [LATER, None]


def test_the_newer_list_counts_while_two_are_for_the_same_machine(db: Session) -> None:
    checklists.sync(db, [document()], NOON)

    checklists.sync(db, [document("a-new-one", "New")], LATER, broken={"loader.yaml"})

    assert title(db) == "New"


def test_a_machine_without_a_list_gets_the_generic_one(db: Session) -> None:
    checklists.sync(db, [document(), document("any", "Generic", "any")], NOON)

    assert title(db, "Wheel  Loader") == "Loader"
    assert title(db, "roller") == "Generic"
    assert checklists.in_force(db, "roller", "end_of_shift") is None


def test_what_is_kept_gives_the_same_list_and_the_same_version(db: Session) -> None:
    checklists.sync(db, [document()], NOON)

    (kept,) = checklists.all_versions(db)

    assert kept == document().checklist


def test_another_site_has_its_own_lists(db: Session) -> None:
    checklists.sync(db, [document()], NOON)
    db.info["site"] = "Another pit"

    assert title(db) is None
    assert checklists.sync(db, [document()], LATER) == [("loader", document().checklist.version)]
