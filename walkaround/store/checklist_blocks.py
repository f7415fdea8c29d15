"""Shared blocks: puts what an `include` names in its place, each block once in a list."""

import re
from collections.abc import Iterator
from pathlib import Path

from walkaround.rules.checklist_value import nearest
from walkaround.store.yaml_nodes import FileError, Node, Unreadable, read_nodes

EXAMPLE = "blocks/lights.yaml"
_NAME = re.compile(r"([a-z0-9-]+/)*[a-z0-9-]+\.yaml")


class Blocks:
    """Fills in the blocks of one checklist file."""

    def __init__(self, file: Path) -> None:
        self._folder = file.parent
        self._open = [file.resolve()]
        self._used: dict[Path, FileError] = {}
        self.errors: list[FileError] = []
        self.emptied: list[Node] = []  # lists that hold nothing only because a block is wrong

    def fill_in(self, checklist: Node) -> None:
        """Replace every include below `stations` and `items` by what it names."""
        if isinstance(checklist.value, dict) and "stations" in checklist.value:
            self._fill(checklist.value["stations"], "stations")

    def _fill(self, node: Node, key: str) -> None:
        if isinstance(node.value, list):
            filled = [each for entry in node.value for each in self._entry(entry, key)]
            if node.value and not filled:
                self.emptied.append(node)
            node.value = filled

    def _entry(self, entry: Node, key: str) -> Iterator[Node]:
        mapping = entry.value if isinstance(entry.value, dict) else {}
        if "include" in mapping:
            yield from self._block(entry, mapping, key)
        elif len(mapping) == 1 and (hint := nearest(next(iter(mapping)), ("include",))):
            self.errors.append(entry.error(f"{next(iter(mapping))!r} names no block{hint}"))
        else:
            if key == "stations" and "items" in mapping:
                self._fill(mapping["items"], "items")
            yield entry

    def _block(self, entry: Node, mapping: dict[str, Node], key: str) -> Iterator[Node]:
        named = mapping["include"]
        for other in [name for name in mapping if name != "include"]:
            sentence = f"{other!r} cannot stand beside include; begin a new entry with a hyphen"
            self.errors.append(entry.keys[other].error(sentence))
        if not isinstance(named.value, str):
            place = entry.keys["include"]
            self.errors.append(place.error(f"include wants a file, like {EXAMPLE}"))
            return
        file = self._folder / named.value
        if problem := self._refusal(file, named.value):
            self.errors.append(named.error(problem))
            return
        self._used[file.resolve()] = named.error("")
        self._open.append(file.resolve())
        yield from self._read(file, key)
        self._open.pop()

    def _refusal(self, file: Path, name: str) -> str | None:
        outside = f"include wants a file below the list's folder, like {EXAMPLE}, not {name!r}"
        if not _NAME.fullmatch(name):
            return outside
        target = file.resolve()
        if not target.is_relative_to(self._folder.resolve()):
            return outside
        if target in self._open:
            return f"{name} includes itself in a circle; take one of the includes away"
        if target in self._used:
            first = self._used[target]
            before = f"the first time at {first.path}:{first.line}"
            return f"{name} is included twice in this list ({before}); keep one"
        return None if file.is_file() else f"there is no block {name} beside the list"

    def _read(self, file: Path, key: str) -> Iterator[Node]:
        try:
            block, repeated = read_nodes(file, str(file))
        except Unreadable as unreadable:
            self.errors.extend(unreadable.errors)
            return
        self.errors.extend(repeated)
        mapping = block.value if isinstance(block.value, dict) else {}
        for other in [name for name in mapping if name != key]:
            wanted = f"a block included here holds {key}: and nothing else"
            hint = nearest(other, (key,)) or "; take it away"
            self.errors.append(block.keys[other].error(f"{wanted}, not {other}{hint}"))
        if key not in mapping:
            self.errors.append(block.error(f"this block lacks {key}: with a list below it"))
        elif not isinstance(mapping[key].value, list):
            self.errors.append(block.keys[key].error(f"{key} wants a list, each with a hyphen"))
        else:
            self._fill(mapping[key], key)
            entries = mapping[key].value
            yield from entries if isinstance(entries, list) else ()
