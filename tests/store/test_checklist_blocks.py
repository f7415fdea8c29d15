"""Shared blocks: what they bring in, and what is wrong with them."""

from pathlib import Path

import pytest

from walkaround.store.checklists_yaml import check_paths, read_file

HEAD = "checklist: a\ntitle: A\nmachine: m\noccasion: start_of_shift\nstations:\n"
STATION = "  - station: s\n    title: S\n    engine: stopped\n    items:\n"
INCLUDE = "      - include: blocks/b.yaml\n"


def item(name: str) -> str:
    """Return an item as it stands in a block."""
    return f"  - item: {name}\n    look: L\n    good: G\n"


def site(folder: Path, text: str = HEAD + STATION + INCLUDE, **blocks: str) -> Path:
    """Write a list and its blocks."""
    (folder / "blocks").mkdir(exist_ok=True)
    for name, block in blocks.items():
        (folder / "blocks" / f"{name}.yaml").write_text(block)
    file = folder / "list.yaml"
    file.write_text(text)
    return file


def errors(file: Path) -> list[str]:
    """Return what is wrong, without the folder's name."""
    return [str(error).replace(f"{file.parent}/", "") for error in check_paths([file])]


def test_the_items_of_a_block_stand_where_it_is_named(tmp_path: Path) -> None:
    own = "      - {item: last, look: L, good: G}\n"
    block = f"items:\n{item('one')}{item('two')}"

    checklist = read_file(site(tmp_path, HEAD + STATION + INCLUDE + own, b=block))

    assert [held.name for held in checklist.items] == ["one", "two", "last"]


def test_a_block_of_stations_may_name_a_block_of_items(tmp_path: Path) -> None:
    text = HEAD + "  - include: blocks/s.yaml\n"
    stations = f"stations:\n{STATION}{INCLUDE}"

    checklist = read_file(site(tmp_path, text, s=stations, b=f"items:\n{item('one')}"))

    assert [station.name for station in checklist.stations] == ["s"]
    assert [held.name for held in checklist.items] == ["one"]


def test_a_word_in_a_block_makes_another_version(tmp_path: Path) -> None:
    block = f"items:\n{item('one')}"

    before = read_file(site(tmp_path, b=block)).version
    after = read_file(site(tmp_path, b=block.replace("G", "H"))).version

    assert before != after


def test_a_block_and_its_words_written_out_are_the_same_version(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    written = HEAD + STATION + "      - {item: one, look: L, good: G}\n"

    included = read_file(site(tmp_path, b=f"items:\n{item('one')}"))

    assert included.version == read_file(site(tmp_path / "other", written)).version


@pytest.mark.parametrize(
    ("block", "error"),
    [
        (f"items:\n{item('one')}    critcal: true\n", "5:5: 'critcal' is not a key of an item"),
        (f"items:\n\t{item('one')}", "2:1: a tab stands here"),
        (f"items:\n{item('one')}    good: H\n", "5:5: the key 'good' stands twice here"),
        (f"items:\n{item('one')}titel: x\n", "5:1: a block included here holds items: and nothing"),
        ("items: words\n", "1:1: items wants a list, each with a hyphen"),
        ("stations: []\n", "1:1: this block lacks items: with a list below it"),
        ("", "1:1: there is nothing in this file"),
    ],
)
def test_what_is_wrong_in_a_block_names_its_file(tmp_path: Path, block: str, error: str) -> None:
    found = errors(site(tmp_path, b=block))

    assert any(line.startswith(f"blocks/b.yaml:{error}") for line in found), found


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("../list.yaml", "include wants a file below the list's folder"),
        ("/etc/hostname", "include wants a file below the list's folder"),
        ("blocks/../../x.yaml", "include wants a file below the list's folder"),
        ("blocks/b.txt", "include wants a file below the list's folder"),
        ('"blocks/\\0.yaml"', "include wants a file below the list's folder"),
        ("https://example.org/b.yaml", "include wants a file below the list's folder"),
        ("blocks/none.yaml", "there is no block blocks/none.yaml beside the list"),
        ("list.yaml", "list.yaml includes itself in a circle"),
        ("[blocks/b.yaml]", "include wants a file, like blocks/lights.yaml"),
        ("", "include wants a file, like blocks/lights.yaml"),
    ],
)
def test_a_block_that_cannot_be_named_is_refused(tmp_path: Path, name: str, sentence: str) -> None:
    text = HEAD + STATION + f"      - include: {name}\n"

    found = errors(site(tmp_path, text, b=f"items:\n{item('one')}"))

    assert found[0].startswith("list.yaml:10:")
    assert sentence in found[0]


def test_a_link_that_leads_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    outside = tmp_path / "outside.yaml"
    outside.write_text(f"items:\n{item('one')}")
    (tmp_path / "lists").mkdir()
    file = site(tmp_path / "lists")
    (tmp_path / "lists" / "blocks" / "b.yaml").symlink_to(outside)

    assert "include wants a file below the list's folder" in errors(file)[0]


def test_blocks_in_a_circle_are_refused(tmp_path: Path) -> None:
    one = "items:\n  - include: blocks/two.yaml\n"
    two = f"items:\n{item('x')}  - include: blocks/b.yaml\n"

    (found,) = errors(site(tmp_path, b=one, two=two))

    assert found.startswith("blocks/two.yaml:5:14: blocks/b.yaml includes itself in a circle")


def test_a_block_stands_once_in_a_list(tmp_path: Path) -> None:
    (found,) = errors(site(tmp_path, HEAD + STATION + INCLUDE * 2, b=f"items:\n{item('one')}"))

    assert found.startswith("list.yaml:11:18: blocks/b.yaml is included twice in this list")
    assert "the first time at list.yaml:10" in found or "list.yaml:10)" in found


def test_nothing_stands_beside_an_include(tmp_path: Path) -> None:
    text = HEAD + STATION + INCLUDE + "        critical: true\n"

    (found,) = errors(site(tmp_path, text, b=f"items:\n{item('one')}"))

    assert found.startswith("list.yaml:11:9: 'critical' cannot stand beside include")


def test_a_slip_in_the_word_include_is_named(tmp_path: Path) -> None:
    (found,) = errors(site(tmp_path, HEAD + STATION + "      - inlcude: blocks/b.yaml\n"))

    assert found == "list.yaml:10:9: 'inlcude' names no block; did you mean include?"
