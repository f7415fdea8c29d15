"""Checklists from YAML files: everything wrong is listed as file, line, column and sentence."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import rfc8785

from walkaround.rules.checklist import Checklist, from_plain, kind_of
from walkaround.rules.checklist_error import ChecklistError
from walkaround.rules.checklist_format import read_document as read_plain
from walkaround.store.checklist_blocks import Blocks
from walkaround.store.yaml_nodes import MOST_ERRORS, Node, Unreadable, read_nodes
from walkaround.store.yaml_nodes import FileError as FileError


class ChecklistFileError(Exception):
    """A checklist file that cannot be used, with everything that is wrong with it."""

    def __init__(self, errors: list[FileError]) -> None:
        super().__init__("\n".join(map(str, errors)))
        self.errors = errors


@dataclass(frozen=True, slots=True)
class Document:
    """A checklist, the plain document it was built from, and the name of its file."""

    file: str
    plain: dict[str, Any]
    checklist: Checklist
    keys: dict[str, Node] = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Folder:
    """What a folder of checklists holds; `broken` are the files whose lists stay as they were."""

    documents: list[Document]
    errors: list[FileError]
    broken: set[str]


def version_of(plain: dict[str, Any]) -> str:
    """Return the version of a document: SHA-256 over its canonical JSON (RFC 8785)."""
    return hashlib.sha256(rfc8785.dumps(plain)).hexdigest()


def read_file(path: Path | str) -> Checklist:
    """Return the checklist of a file; raise ChecklistFileError."""
    return read_document(path).checklist


def read_document(path: Path | str) -> Document:
    """Return the checklist of a file with its plain document; raise ChecklistFileError."""
    file = Path(path)
    try:
        tree, errors = read_nodes(file, str(path))
    except Unreadable as unreadable:
        raise ChecklistFileError(_at_most(unreadable.errors)) from None
    blocks = Blocks(file)
    blocks.fill_in(tree)
    plain, problems = read_plain(_plain(tree))
    errors += blocks.errors + _placed(tree, problems, blocks.emptied)
    if errors:
        raise ChecklistFileError(_at_most(errors))
    checklist = from_plain(plain, version_of(plain))
    return Document(file.name, plain, checklist, tree.keys)


def read_folder(path: Path | str) -> Folder:
    """Return the checklists of a folder's own *.yaml files, and all errors of all of them."""
    folder = Path(path)
    documents, errors, broken = [], [], set()
    for file in sorted(folder.glob("[!.]*.y*ml")):
        try:
            documents.append(_named_well(file, read_document(file)))
        except ChecklistFileError as error:
            errors += error.errors
            broken.add(file.name)
    repeated = _repeated(documents)
    broken |= {document.file for document, _ in repeated}
    errors += [error for _, error in repeated]
    if not documents and not errors:
        errors.append(FileError(str(path), 1, 1, "there is no checklist (*.yaml) in this folder"))
    kept = [document for document in documents if document.file not in broken]
    return Folder(kept, errors, broken)


def check_paths(paths: Iterable[Path | str]) -> list[FileError]:
    """Return every error of these files and folders."""
    errors: list[FileError] = []
    for path in paths:
        if Path(path).is_dir():
            errors += read_folder(path).errors
            continue
        try:
            read_file(path)
        except ChecklistFileError as error:
            errors += error.errors
    return errors


def _plain(node: Node) -> Any:
    if isinstance(node.value, dict):
        return {key: _plain(value) for key, value in node.value.items()}
    return [_plain(entry) for entry in node.value] if isinstance(node.value, list) else node.value


def _placed(tree: Node, problems: list[ChecklistError], emptied: list[Node]) -> list[FileError]:
    errors = []
    for problem in problems:
        place = _find(tree, problem.path, at_key=problem.at_key)
        if any(place is node for node in emptied):
            continue
        sentence = problem.sentence
        if problem.first:
            first = _find(tree, problem.first, at_key=False)
            sentence = f"{sentence} (first at {first.path}:{first.line})"
        errors.append(place.error(sentence))
    return errors


def _find(tree: Node, path: tuple[str | int, ...], *, at_key: bool) -> Node:
    """Return the place of a value, or of its key if that is meant or the value is empty."""
    place = tree
    for part in path:
        inside: Any = place.value
        holder, place = place, inside[part]
        if isinstance(part, str) and (place.value is None or (at_key and part == path[-1])):
            place = holder.keys[part]
    return place


def _at_most(errors: list[FileError]) -> list[FileError]:
    ordered = sorted(set(errors))
    rest = ordered[MOST_ERRORS:]
    if not rest:
        return ordered
    more = "and more from here on; mend the ones above first"
    return [*ordered[:MOST_ERRORS], FileError(rest[0].path, rest[0].line, rest[0].column, more)]


def _named_well(file: Path, document: Document) -> Document:
    if file.suffix == ".yaml":
        return document
    sentence = f"the name of a checklist ends in .yaml; rename this to {file.stem}.yaml"
    raise ChecklistFileError([FileError(str(file), 1, 1, sentence)])


def _repeated(documents: list[Document]) -> list[tuple[Document, FileError]]:
    """Return both files wherever two have one name, or are for one machine and occasion."""
    found = []
    for document in documents:
        for other in documents:
            ours, theirs = document.checklist, other.checklist
            if other is document:
                continue
            if ours.name == theirs.name:
                sentence = f"the name {ours.name} is also that of {other.file}; change one of them"
                found.append((document, document.keys["checklist"].error(sentence)))
            if _use(ours) == _use(theirs):
                sentence = f"{other.file} is for the same machine and occasion; keep one of them"
                found.append((document, document.keys["machine"].error(sentence)))
    return found


def _use(checklist: Checklist) -> tuple[str, str]:
    return kind_of(checklist.machine), checklist.occasion
