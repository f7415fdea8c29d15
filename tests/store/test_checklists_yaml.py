"""Checklists from files: every kind of error with its place, and the traps of YAML."""

import hashlib
import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from walkaround.store.checklists_yaml import check_paths, read_document, read_file, read_folder

GOOD = """\
checklist: loader-start
title: Loader
machine: wheel loader
occasion: start_of_shift
stations:
  - station: front
    title: Front
    engine: stopped
    items:
      - item: tyre
        look: Tyre
        good: No cut to the cords
"""


def write(folder: Path, text: str | bytes, name: str = "list.yaml") -> Path:
    """Write a file and the folders above it."""
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


def errors(folder: Path, text: str | bytes) -> list[str]:
    """Return the errors of a file with this text, without the folder's name."""
    found = check_paths([write(folder, text)])
    return [str(error).replace(f"{folder}/", "") for error in found]


def test_a_good_file_becomes_a_checklist(tmp_path: Path) -> None:
    checklist = read_file(write(tmp_path, GOOD))

    assert checklist.name == "loader-start"
    assert [item.name for item in checklist.items] == ["tyre"]
    assert checklist.items[0].good == {"en": "No cut to the cords"}


@pytest.mark.parametrize(
    ("old", "new", "error"),
    [
        ("title: Loader", "titel: Loader", "2:1: 'titel' is not a key of a checklist; did you"),
        ("title: Loader", "title:", "2:1: title is empty; write the words after it"),
        ("title: Loader", "title: [a, b]", "2:8: title wants plain words, not a list"),
        ("title: Loader", "title: {en: A, en: B}", "2:16: the key 'en' stands twice here (first"),
        ("machine: wheel", "machine: w\nmachine: wheel", "4:1: the key 'machine' stands twice"),
        ("start_of_shift", "start", "4:11: occasion wants start_of_shift or end_of_shift or"),
        ("loader-start", "Loader Start", "1:12: checklist wants lower-case words with hyphens"),
        ("stopped", "stoped", "8:13: engine wants stopped or running, not 'stoped'; did you mean"),
        ("item: tyre", "item: tyre 1", "10:15: item wants lower-case words with hyphens, like"),
        ("look: Tyre", "lok: Tyre", "11:9: 'lok' is not a key of an item; did you mean look?"),
        ("        good: No cut to the cords\n", "", "10:9: an item lacks the key 'good'; write"),
        ("        look: Tyre\n", "", "10:9: an item lacks the key 'look'; add it"),
        ("    engine: stopped\n", "", "6:5: a station lacks the key 'engine'; add it"),
        ("title: Loader\n", "", "1:1: a checklist lacks the key 'title'; add it"),
        ("good: No", "critical: maybe\n        good: No", "12:19: critical wants true or false"),
        ("good: No", "timer: 80 sec\n        good: No", "12:16: timer wants a length of time"),
        ("good: No", "refs: 30 CFR\n        good: No", "12:15: refs wants a list with at least"),
    ],
)
def test_each_error_names_its_place(tmp_path: Path, old: str, new: str, error: str) -> None:
    found = errors(tmp_path, GOOD.replace(old, new, 1))

    renamed = new.startswith(("titel", "lok"))  # then the right key is missing as well
    assert any(line.startswith(f"list.yaml:{error}") for line in found), found
    assert len(found) == (2 if renamed else 1)


@pytest.mark.parametrize(
    ("measure", "error"),
    [
        ("{quantity: p, in: kPa, low: 400, high: 300}", "12:46: low (400) is above"),
        ("{quantity: p, in: kPa, low: 010}", "12:46: measure/low wants a number without a nought"),
        ("{quantity: p, in: kPa, low: three}", "12:46: measure/low wants a number, like 300"),
        ("{quantity: p, in: kPa, every: 7 days}", "12:48: measure/every wants a length of time"),
        ("{quantity: p}", "12:18: a measure lacks the key 'in'; add it"),
        ("{quantity: p, unit: kPa, in: kPa}", "12:32: 'unit' is not a key of a measure; known"),
        ("300 kPa", "12:18: a measure is written as keys with values (quantity, in, low, high"),
    ],
)
def test_an_error_in_a_measure_names_its_place(tmp_path: Path, measure: str, error: str) -> None:
    text = GOOD.replace("good: No cut to the cords", f"measure: {measure}")

    (found,) = errors(tmp_path, text)

    assert found.startswith(f"list.yaml:{error}"), found


def test_all_errors_of_a_file_are_listed_in_order(tmp_path: Path) -> None:
    text = GOOD.replace("Loader", "").replace("stopped", "off").replace("tyre", "Tyre Left")

    found = errors(tmp_path, text)

    assert [line.split(":")[1] for line in found] == ["2", "8", "10"]


def test_a_name_that_stands_twice_says_where_it_stood_first(tmp_path: Path) -> None:
    item = "      - item: tyre\n        look: b\n        good: c\n"

    (found,) = errors(tmp_path, GOOD + item)

    assert found.startswith("list.yaml:13:15: the item tyre stands twice in this list")
    assert found.endswith("(first at list.yaml:10)")


def test_a_station_with_the_engine_stopped_after_running_is_named(tmp_path: Path) -> None:
    text = GOOD.replace("stopped", "running") + GOOD.partition("stations:\n")[2].replace(
        "front", "rear"
    ).replace("tyre", "other")

    (found,) = errors(tmp_path, text)

    assert found.startswith("list.yaml:15:13: a station with the engine stopped comes before")


@pytest.mark.parametrize("word", ["NO", "no", "on", "06:00", "14:00", "010", "1e3", "0x1f", "1_0"])
def test_words_stay_words(tmp_path: Path, word: str) -> None:
    text = GOOD.replace("title: Loader", f"title: {word}").replace("wheel loader", word)

    checklist = read_file(write(tmp_path, text))

    assert checklist.title == {"en": word}
    assert checklist.machine == word


def test_norwegian_is_a_language(tmp_path: Path) -> None:
    text = GOOD.replace("title: Loader", "title: {no: Hjullaster, en: Loader}")

    assert read_file(write(tmp_path, text)).title == {"no": "Hjullaster", "en": "Loader"}


def test_a_file_from_another_editor_is_the_same_version(tmp_path: Path) -> None:
    other = "\ufeff# a note\r\n" + GOOD.replace("\n", "\r\n").replace("Tyre", "'Tyre'")

    ours, theirs = (read_file(write(tmp_path, text)) for text in (GOOD, other))

    assert ours.version == theirs.version


def test_any_word_makes_another_version(tmp_path: Path) -> None:
    ours, theirs = (
        read_file(write(tmp_path, text)) for text in (GOOD, GOOD.replace("cords", "cord"))
    )

    assert ours.version != theirs.version


def test_the_version_is_the_hash_of_the_canonical_text(tmp_path: Path) -> None:
    document = read_document(write(tmp_path, GOOD))

    # RFC 8785 section 3.2: for ASCII without numbers, sorted keys and no spaces are all of it.
    text = json.dumps(document.plain, sort_keys=True, separators=(",", ":"))
    assert document.checklist.version == hashlib.sha256(text.encode()).hexdigest()


def test_a_missing_file_and_an_empty_folder_are_named(tmp_path: Path) -> None:
    missing, empty = check_paths([tmp_path / "no.yaml", tmp_path])

    assert missing.sentence == "there is no such file; look at its name"
    assert empty.sentence == "there is no checklist (*.yaml) in this folder"


def test_a_broken_file_does_not_hide_the_others(tmp_path: Path) -> None:
    write(tmp_path, GOOD, "good.yaml")
    write(tmp_path, "title: a: b\n", "broken.yaml")
    write(tmp_path, "not: read", ".hidden.yaml")

    folder = read_folder(tmp_path)

    assert [document.file for document in folder.documents] == ["good.yaml"]
    assert folder.broken == {"broken.yaml"}
    assert len(folder.errors) == 1


def test_two_files_for_the_same_machine_and_occasion_are_both_named(tmp_path: Path) -> None:
    write(tmp_path, GOOD, "a.yaml")
    write(tmp_path, GOOD.replace("loader-start", "b").replace("wheel", "Wheel"), "b.yaml")

    folder = read_folder(tmp_path)

    assert [(error.line, error.column) for error in folder.errors] == [(3, 1), (3, 1)]
    assert "b.yaml is for the same machine and occasion" in folder.errors[0].sentence
    assert (folder.documents, folder.broken) == ([], {"a.yaml", "b.yaml"})


def test_two_files_of_the_same_name_are_both_named(tmp_path: Path) -> None:
    write(tmp_path, GOOD, "a.yaml")
    write(tmp_path, GOOD.replace("wheel loader", "roller"), "b.yaml")

    folder = read_folder(tmp_path)

    assert [error.line for error in folder.errors] == [1, 1]
    assert "the name loader-start is also that of a.yaml" in folder.errors[1].sentence


def test_a_file_with_the_wrong_ending_is_named(tmp_path: Path) -> None:
    write(tmp_path, GOOD, "a.yml")

    (found,) = read_folder(tmp_path).errors

    assert found.sentence == "the name of a checklist ends in .yaml; rename this to a.yaml"


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(0, len(GOOD) - 1), st.sampled_from("\n:- '\"[]{}&*!#ab"))
def test_one_wrong_letter_is_read_or_named_near_by(tmp_path: Path, at: int, letter: str) -> None:
    file = write(tmp_path, GOOD[:at] + letter + GOOD[at + 1 :])

    found = check_paths([file])

    assert all(1 <= error.line <= GOOD.count("\n") + 2 for error in found)
    assert found or read_file(file).version
