"""`walkaround demo` as people run it: all sixty days, once for all tests of this file."""

import re
import time
from pathlib import Path

import pytest
from click.testing import Result
from flask import Flask
from sqlalchemy import func, select

from tests.test_cli import run
from walkaround import places
from walkaround.app import create_app
from walkaround.config import Config
from walkaround.rules.instant import DAY
from walkaround.store import demo_site, site
from walkaround.store.db import make_engine, make_session
from walkaround.store.models import DefectRow, EntryRow, WalkRow

LINK = re.compile(r"^ +http://127\.0\.0\.1:8000(/enrol/[\w-]{20,})$", re.MULTILINE)


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Result]:
    """A demo site, and what the command said when it made it."""
    folder = tmp_path_factory.mktemp("demo")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WALKAROUND_DATA", str(folder))
        return folder, run("demo")


@pytest.fixture
def folder(first: tuple[Path, Result], monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("WALKAROUND_DATA", str(first[0]))
    return first[0]


@pytest.fixture
def app(folder: Path) -> Flask:
    return create_app(Config(data=folder))


def test_the_lists_are_read_before_anybody_asks(folder: Path, monkeypatch: pytest.MonkeyPatch):
    app = create_app(Config(data=folder))
    monkeypatch.setattr("walkaround.web.checklists.take_checklists", None)

    assert app.test_client().get("/sign-in").status_code == 200


def test_it_says_how_to_get_in_and_shows_its_progress(first: tuple[Path, Result]):
    _, said = first

    assert said.exit_code == 0, said.output
    assert LINK.search(said.stdout)
    for role, number, pin in (
        ("operator", "114", "2580"),
        ("mechanic", "203", "7306"),
        ("supervisor", "301", "9152"),
    ):
        assert re.search(rf"{role} +crew number {number}, PIN {pin}", said.stdout)
    assert "week 1 of 9" in said.stderr
    assert "week 9 of 9" in said.stderr


def test_the_logbooks_hold_and_follow_again_from_their_entries(folder: Path):
    held, again = run("logbook verify"), run("logbook replay")

    assert "The logbooks of 16 units hold" in held.stdout
    assert again.exit_code == 0
    assert run("logbook verify").exit_code == 0


def test_sixty_days_are_there(folder: Path):
    engine = make_engine(f"sqlite:///{folder}/walkaround.db")
    with make_session(engine, writes=False) as db:
        site.the_site(db)
        first, last = db.execute(select(func.min(WalkRow.made_at), func.max(WalkRow.made_at))).one()
        kinds = set(db.scalars(select(EntryRow.kind).distinct()))
        query = select(DefectRow.item).where(DefectRow.unit == "L11", DefectRow.cleared_by != "")
        again = list(db.scalars(query))
    engine.dispose()

    assert 59 <= (last - first) / DAY <= 61
    assert {"walkaround", "defect", "clear", "defer", "hold", "release", "fill"} <= kinds
    assert {"lay_up", "meter_change", "service"} <= kinds
    assert again.count("tyre-rear-right-pressure") == 3


def test_a_second_start_keeps_the_data_and_gives_a_new_link(
    first: tuple[Path, Result], folder: Path
):
    before, started = (folder / "walkaround.db").stat().st_ino, time.process_time()

    again = run("demo")

    assert time.process_time() - started < 2
    assert again.exit_code == 0
    assert again.stderr == ""
    assert (folder / "walkaround.db").stat().st_ino == before
    assert LINK.findall(again.stdout) != LINK.findall(first[1].stdout)
    assert "The logbooks of 16 units hold" in run("logbook verify").stdout


def test_the_link_lets_a_newcomer_in_and_every_page_says_demo(app: Flask, folder: Path):
    path = LINK.findall(run("demo").stdout)[0]
    client = app.test_client()

    page = client.get(path, follow_redirects=True)

    assert page.status_code == 200
    assert "everything here is invented" in page.text
    assert b'name="pin"' in page.data


def test_a_real_site_does_not_say_that_it_is_a_demo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("WALKAROUND_DATA", str(tmp_path))
    run("init --site Real --zone Europe/Madrid --shifts 06:00,14:00,22:00")

    page = create_app(Config(data=tmp_path)).test_client().get("/sign-in")

    assert "invented" not in page.text


def test_a_folder_with_a_real_site_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("WALKAROUND_DATA", str(tmp_path))
    run("init --site Real --zone Europe/Madrid --shifts 06:00,14:00,22:00")

    refused = run("demo")

    assert refused.exit_code == 1
    assert refused.stderr == "There is a site here already, Real: nothing was changed.\n"
    assert "enrol" not in refused.stdout


def test_every_text_of_the_script_is_about_what_exists():
    described = demo_site.read(places.demo())
    people = {one["crew_number"] for one in described.people}
    numbers = {one["number"] for one in described.units}

    assert set(described.sign_in) <= people
    assert {step["by"] for step in described.steps} <= people
    assert {walk["unit"] for walk in described.walks} <= numbers
    assert all(len(described.crew(place, "operator")) == 3 for place in range(3))
