import json
import sqlite3
from pathlib import Path

import pytest

from tests import make
from tests.commands import run


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An open site in a folder of its own, with one unit."""
    monkeypatch.setenv("WALKAROUND_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("WALKAROUND_CHECKLISTS", str(make.LISTS))
    assert run("init --site Pit --zone Europe/Madrid --shifts 06:00,14:00,22:00").exit_code == 0
    assert run("unit add --number L07 --machine loader --hours 84").exit_code == 0
    return tmp_path / "data"


def test_a_second_init_changes_nothing_and_exits_1(site: Path):
    again = run("init --site Other --zone UTC --shifts 06:00")

    assert again.exit_code == 1
    assert "already" in again.stderr
    assert again.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("init --site X --zone Mars/Olympus --shifts 06:00", "zone"),
        ("init --site X --zone UTC --shifts 26:00", "26:00"),
    ],
)
def test_a_bad_site_is_refused_in_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: str, sentence: str
):
    monkeypatch.setenv("WALKAROUND_DATA", str(tmp_path))

    refused = run(words)

    assert refused.exit_code == 1
    assert sentence in refused.stderr


@pytest.mark.parametrize(
    "words",
    [
        "unit add --number L07 --machine loader",
        "unit set --number L99 --title x",
        "person add --name N --crew-number 101 --role operator --pin 1111",
        "person leave --crew-number 999",
        "token add --crew-number 999",
        "label replace L99",
        "logbook show L99",
        "logbook verify L99",
        "site set --early soon",
        "site set --shifts 06:00-06:00",
        "site set --pressure mm",
        "site set --length inch",
        "site set --temperature K",
    ],
)
def test_a_refusal_is_one_sentence_and_exit_status_1(site: Path, words: str):
    refused = run(words)

    assert refused.exit_code == 1, refused.output
    assert refused.stdout == ""
    assert len(refused.stderr.strip().splitlines()) == 1


def test_a_command_without_a_site_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("WALKAROUND_DATA", str(tmp_path))

    refused = run("unit add --number L07 --machine loader")

    assert refused.exit_code == 1
    assert "walkaround init" in refused.stderr


def test_a_wrong_setting_is_named_and_stops_the_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("WALKAROUND_DATA", str(tmp_path))
    monkeypatch.setenv("WALKAROUND_BASEURL", "http://x")

    refused = run("check")

    assert refused.exit_code == 2
    assert "WALKAROUND_BASEURL is no setting" in refused.stderr


def test_a_token_is_printed_alone(site: Path):
    run(
        "person",
        "add",
        "--name",
        "Olga O",
        "--crew-number",
        "101",
        "--role",
        "operator",
        "--pin",
        "4821",
    )

    printed = run("token add --crew-number 101").stdout

    assert printed == printed.split()[0] + "\n"
    assert printed.strip() not in (site / "walkaround.db").read_bytes().decode("latin-1")


def test_a_phone_gets_a_link(site: Path):
    printed = run("phone add --name Tablet").stdout

    assert printed.startswith("http://127.0.0.1:8000/enrol/")
    assert len(printed.split()) == 1


def test_a_logbook_is_shown_exported_verified_and_replayed(site: Path, tmp_path: Path):
    run("label replace L07")
    out = tmp_path / "out.jsonl"

    shown = run("logbook show L07")
    exported = run("logbook", "export", "--out", str(out))

    assert " label " in shown.stdout
    assert exported.exit_code == 0
    assert [json.loads(line)["seq"] for line in out.read_text().splitlines()] == [1]
    assert "1 units hold" in run("logbook verify").stdout
    assert "1 entries" in run("logbook replay").stdout


def test_a_changed_logbook_is_named(site: Path):
    run("label replace L07")
    with sqlite3.connect(site / "walkaround.db") as db:
        db.execute("update entry set made_at = '2020-01-01T00:00:00Z' where seq = 1")

    verified = run("logbook verify")

    assert verified.exit_code == 1
    assert "L07, entry 1" in verified.stderr
    assert run("check").exit_code == 1


def test_labels_are_written_for_the_units_named(site: Path, tmp_path: Path):
    out = tmp_path / "labels.pdf"

    written = run("labels", "L07", "--out", str(out))

    assert written.exit_code == 0
    assert out.read_bytes().startswith(b"%PDF")


def test_every_error_of_a_list_is_printed(site: Path, tmp_path: Path):
    bad = tmp_path / "bad.yaml"
    bad.write_text("checklist: x\nmachin: loader\n")

    checked = run("checklists", "check", str(bad))

    assert checked.exit_code == 1
    assert f"{bad}:2:1: " in checked.stdout
    assert "machine" in checked.stdout
    assert run("checklists", "check", str(make.LISTS)).exit_code == 0
