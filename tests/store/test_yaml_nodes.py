"""YAML that is none, or that means harm: one sentence each, with its place, and quickly."""

import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.store.test_checklists_yaml import GOOD, errors, write
from walkaround.store.checklists_yaml import ChecklistFileError, check_paths, read_file


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("", "1:1: there is nothing in this file; write a checklist into it"),
        ("# only a note\n", "1:1: there is nothing in this file"),
        ("title: a\n\tmachine: b\n", "2:1: a tab stands here; put spaces in its place"),
        ("title: a\tb\n", "1:9: a tab stands here"),
        ("title: a: b\n", "1:9: a colon and a space cannot stand here; put the words in quotes"),
        ("a: b\n c: d\n", "2:3: a colon and a space cannot stand here"),
        ("a: b\nc d\ne: f\n", "2:1: this line has no colon after its key"),
        ("a: 'x\nb: y\n", "1:4: a quote opened here is never closed; close it"),
        ("a: [x\nb: y\n", "1:4: a bracket opened here is not closed, or a comma is missing"),
        ("a: {x: 1\n", "1:4: a bracket opened here is not closed"),
        ("a:\n  - b\n  c: d\n", "3:3: this line does not stand under the ones above"),
        ("a: @x\n", "1:4: words cannot begin with this letter; put them in quotes"),
        ('a: "\\q"\n', "1:6: a backslash in"),
        ('a: "\\UFFFFFFFF"\n', "1:5: these digits name no letter"),
        ("a: &x b\n", "1:4: '&' names something for later, which is not allowed"),
        ("a: *x\n", "1:4: '*' repeats something from above, which is not allowed; write it out"),
        ("a: !!python/object:os.system x\n", "1:4: '!' says what kind of value follows"),
        ("a: b\n---\nc: d\n", "2:1: a second document begins here; keep one list in each file"),
        ("%YAML 1.1\n---\na: b\n", "2:1: a line that begins with % is not allowed"),
        ("? [a]\n: b\n", "1:3: a key is missing here; write key: value"),
        (b"a: b\nc: \xff\n", "2:4: this letter is not UTF-8; save the file again as UTF-8"),
        ("a: b\x07\n", "1:5: a letter that cannot be seen stands here; delete it"),
        ("a: b\u2028c\n", "1:5: a letter that cannot be seen stands here"),
        ("[" * 99, "1:13: more than 12 levels stand in each other"),
        ("just words\n", "1:1: a checklist is written as keys with values (checklist, title"),
    ],
)
def test_what_is_no_yaml_gets_one_sentence(tmp_path: Path, text: str | bytes, error: str) -> None:
    (found,) = errors(tmp_path, text)

    assert found.startswith(f"list.yaml:{error}"), found


# https://en.wikipedia.org/wiki/Billion_laughs_attack: nine levels of nine make 387 million leaves.
BOMB = "a: &a [lol, lol, lol, lol, lol, lol, lol, lol, lol]\n" + "".join(
    f"{name}: &{name} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)


def test_a_bomb_of_aliases_is_refused_within_50_ms(tmp_path: Path) -> None:
    file = write(tmp_path, BOMB)
    check_paths([file])

    started = time.perf_counter()
    found = check_paths([file])
    took = time.perf_counter() - started

    assert str(found[0]).startswith(f"{file}:1:4: '&' names something for later")
    assert took < 0.05


def test_a_file_of_10_mb_is_refused_before_it_is_read(tmp_path: Path) -> None:
    file = write(tmp_path, b"#" * (10 * 1024 * 1024))

    started = time.perf_counter()
    (found,) = check_paths([file])

    assert found.sentence.startswith("the file has 10485760 bytes; at most 262144 (256 KB) fit")
    assert time.perf_counter() - started < 0.05


def test_256_kb_are_read_and_one_byte_more_is_not(tmp_path: Path) -> None:
    padding = "#" * (256 * 1024 - len(GOOD) - 1)

    assert errors(tmp_path, f"{GOOD}{padding}\n") == []
    assert len(errors(tmp_path, f"{GOOD}{padding}#\n")) == 1


def test_more_than_fifty_errors_are_cut(tmp_path: Path) -> None:
    found = errors(tmp_path, "".join(f"k{n}: *a\n" for n in range(99)))

    assert len(found) == 51
    assert found[-1].endswith("and more from here on; mend the ones above first")


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text() | st.text(alphabet=":-'\"[]{}&*!|>%@# \nabc\\U0") | st.binary())
def test_no_text_brings_the_reader_down(tmp_path: Path, text: str | bytes) -> None:
    content = text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass")
    file = write(tmp_path, content)

    with pytest.raises(ChecklistFileError) as raised:
        read_file(file)

    assert all(error.line >= 1 and error.column >= 1 for error in raised.value.errors)
