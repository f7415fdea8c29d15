"""YAML by hand, read into nodes that know their file, line and column; scalars stay text."""

import functools
import pickle
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError

LARGEST_FILE = 256 * 1024
DEEPEST = 12
MOST_ERRORS = 50

_TABS = re.compile(r"^[^\t\n]*\t", re.MULTILINE)
# Line ends that YAML knows and editors do not: after one of them all line numbers would be wrong.
_HIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_NO_LETTER = re.compile(r"\\U(?!000|0010)[0-9A-Fa-f]{8}")
_BAD_SYNTAX = {
    "mapping values are not allowed": (
        "a colon and a space cannot stand here; put the words in quotes, or mend the indentation"
    ),
    "could not find expected ':'": (
        "this line has no colon after its key; write key: value, or indent it like the line above"
    ),
    "found unexpected end of stream": "a quote opened here is never closed; close it",
    "expected <block end>": (
        "this line does not stand under the ones above; give it the same indentation as they have"
    ),
    "cannot start any token": "words cannot begin with this letter; put them in quotes",
    "expected ',' or": "a bracket opened here is not closed, or a comma is missing in it",
    "found unknown escape": "a backslash in \"...\" means something else; use '...' instead",
}
_SHOWN_WHERE_OPENED = ("found unexpected end", "expected ','", "could not find expected ':'")


@dataclass(frozen=True, slots=True, order=True)
class FileError:
    """One thing wrong at one place of a file."""

    path: str
    line: int
    column: int
    sentence: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}: {self.sentence}"


class Unreadable(Exception):
    """A file that gives no nodes, with everything that is wrong with it."""

    def __init__(self, errors: list[FileError]) -> None:
        super().__init__("\n".join(map(str, errors)))
        self.errors = errors


@dataclass(slots=True)
class Node:
    """A text, a list or a mapping, and where it begins; an empty value is None."""

    path: str
    line: int
    column: int
    value: "str | list[Node] | dict[str, Node] | None"
    keys: "dict[str, Node]" = field(default_factory=dict)

    def error(self, sentence: str) -> FileError:
        """Return an error at this place."""
        return FileError(self.path, self.line, self.column, sentence)


def read_nodes(file: Path, shown: str) -> tuple[Node, list[FileError]]:
    """Return what a file holds, and its repeated keys; raise Unreadable if it holds nothing."""
    made: tuple[Node, list[FileError]] = pickle.loads(_parsed(_text_of(file, shown), shown))
    return made


# Lists share blocks, and parsing is slow; each reader fills in a copy of its own.
@functools.lru_cache(maxsize=256)
def _parsed(text: str, shown: str) -> bytes:
    _refuse_hidden(text, shown)
    builder = _Builder(shown)
    try:
        for event in YAML(pure=True).parse(text):
            builder.take(event)
    except MarkedYAMLError as error:
        raise Unreadable([_syntax_error(error, shown)]) from None
    except YAMLError as error:
        place = getattr(error, "position", 0)
        raise Unreadable([_at(text, place, shown, "this letter cannot stand in YAML")]) from None
    except (ValueError, OverflowError):  # the parser makes letters without asking if they exist
        found = _NO_LETTER.search(text)
        sentence = "these digits name no letter; type the letter itself"
        raise Unreadable([_at(text, found.start() if found else 0, shown, sentence)]) from None
    if builder.refused or builder.root is None:
        nothing = FileError(shown, 1, 1, "there is nothing in this file; write a checklist into it")
        raise Unreadable(builder.refused or [nothing])
    return pickle.dumps((builder.root, builder.repeated))


def _text_of(file: Path, shown: str) -> str:
    if not file.is_file():
        raise Unreadable([FileError(shown, 1, 1, "there is no such file; look at its name")])
    try:
        with file.open("rb") as stream:
            content = stream.read(LARGEST_FILE + 1)
    except OSError as error:
        sentence = f"the file cannot be opened ({error.strerror}); look at who may read it"
        raise Unreadable([FileError(shown, 1, 1, sentence)]) from None
    if len(content) > LARGEST_FILE:
        sentence = f"the file has {file.stat().st_size} bytes; at most {LARGEST_FILE} (256 KB) fit"
        raise Unreadable([FileError(shown, 1, 1, f"{sentence}, so cut it into smaller lists")])
    try:
        return content.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        before = content[: error.start].decode("utf-8-sig", "replace")
        sentence = "this letter is not UTF-8; save the file again as UTF-8"
        raise Unreadable([_at(before, len(before), shown, sentence)]) from None


def _refuse_hidden(text: str, shown: str) -> None:
    tab = "a tab stands here; put spaces in its place, YAML allows no tabs"
    letter = "a letter that cannot be seen stands here; delete it"
    errors = [_at(text, found.end() - 1, shown, tab) for found in _first(_TABS, text)]
    errors += [_at(text, found.start(), shown, letter) for found in _first(_HIDDEN, text)]
    if errors:
        raise Unreadable(errors)


def _first(pattern: re.Pattern[str], text: str) -> Iterator[re.Match[str]]:
    return islice(pattern.finditer(text), MOST_ERRORS + 1)


def _at(text: str, place: int, shown: str, sentence: str) -> FileError:
    line_start = text.rfind("\n", 0, place) + 1
    return FileError(shown, text.count("\n", 0, place) + 1, place - line_start + 1, sentence)


def _syntax_error(error: MarkedYAMLError, shown: str) -> FileError:
    problem = str(error.problem)
    mark = error.problem_mark
    if problem.startswith(_SHOWN_WHERE_OPENED) and error.context_mark:
        mark = error.context_mark
    known = (sentence for start, sentence in _BAD_SYNTAX.items() if start in problem)
    sentence = next(known, f"this is not YAML that can be read ({problem}); mend this line")
    line, column = (mark.line, mark.column) if mark else (0, 0)
    return FileError(shown, line + 1, column + 1, sentence)


class _Builder:
    """Takes the parser's events one by one, so that nothing is built that will be refused."""

    def __init__(self, shown: str) -> None:
        self.shown = shown
        self.root: Node | None = None
        self.refused: list[FileError] = []
        self.repeated: list[FileError] = []
        self._open: list[Node] = []
        self._keys: list[Node | None] = []
        self._documents = 0

    def take(self, event: Any) -> None:
        """Take one event; raise Unreadable where reading on makes no sense."""
        kind = type(event).__name__.removesuffix("Event")
        node = Node(self.shown, event.start_mark.line + 1, event.start_mark.column + 1, None)
        self.refused.extend(node.error(sentence) for sentence in self._refusals(kind, event))
        if kind in {"MappingEnd", "SequenceEnd"}:
            self._open.pop()
            self._keys.pop()
        elif kind in {"Scalar", "Alias"}:
            node.value = _scalar(event) if kind == "Scalar" else None
            self._place(node)
        elif kind in {"MappingStart", "SequenceStart"}:
            node.value = {} if kind == "MappingStart" else []
            self._place(node)
            self._open.append(node)
            self._keys.append(None)
            if len(self._open) > DEEPEST:
                deep = node.error(f"more than {DEEPEST} levels stand in each other; a list needs 8")
                raise Unreadable([deep])

    def _refusals(self, kind: str, event: Any) -> Iterator[str]:
        if kind == "Alias":
            yield "'*' repeats something from above, which is not allowed; write it out"
        elif kind == "DocumentStart":
            self._documents += 1
            yield from _document_refusals(event, self._documents)
        elif kind in {"Scalar", "MappingStart", "SequenceStart"}:
            yield from _mark_refusals(event)

    def _place(self, node: Node) -> None:
        if not self._open:
            self.root = self.root or node
            return
        holder = self._open[-1]
        if isinstance(holder.value, list):
            holder.value.append(node)
        elif isinstance(holder.value, dict):
            self._place_in_mapping(holder, holder.value, node)

    def _place_in_mapping(self, holder: Node, mapping: dict[str, Node], node: Node) -> None:
        key = self._keys[-1]
        if key is None:
            self._keys[-1] = node
            if not isinstance(node.value, str):
                self.refused.append(node.error("a key is missing here; write key: value"))
            return
        self._keys[-1] = None
        name = str(key.value)
        if name in mapping:
            first = holder.keys[name].line
            sentence = f"the key {name!r} stands twice here (first in line {first}); keep one"
            self.repeated.append(key.error(sentence))
            return
        mapping[name] = node
        holder.keys[name] = key


def _document_refusals(event: Any, count: int) -> Iterator[str]:
    if count > 1:
        yield "a second document begins here; keep one list in each file"
    if event.version or event.tags:
        yield "a line that begins with % is not allowed; take it away"


def _mark_refusals(event: Any) -> Iterator[str]:
    if event.anchor is not None:
        yield "'&' names something for later, which is not allowed; take the name away"
    if event.ctag is not None and str(event.ctag) not in {"", "None"}:
        yield "'!' says what kind of value follows, which is not allowed; take it away"


def _scalar(event: Any) -> str | None:
    plain = event.style is None or event.style == ""
    return None if plain and event.value in {"", "~", "null"} else str(event.value)
