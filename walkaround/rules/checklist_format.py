"""The format of a checklist document: which keys stand where, and what must fit together."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from walkaround.rules import checklist_value as value_of
from walkaround.rules.checklist_error import ChecklistError, Path
from walkaround.rules.checklist_fit import misfits
from walkaround.rules.checklist_value import Unfit, kind, nearest

Problems = list[ChecklistError]
Read = Callable[[object, Path, Problems], Any]

OCCASIONS = ("start_of_shift", "end_of_shift", "attachment_change", "after_repair")


@dataclass(frozen=True, slots=True)
class Key:
    """One key that may stand in a mapping."""

    read: Read
    needed: bool = False


def read_document(document: object) -> tuple[dict[str, Any], list[ChecklistError]]:
    """Return the document with numbers and yes-or-no as such, and everything wrong with it."""
    problems: Problems = []
    plain = _checklist(document, (), problems)
    if isinstance(plain, dict):
        problems.extend(misfits(plain))
    return plain if isinstance(plain, dict) else {}, problems


def _leaf(read: Callable[[object], object]) -> Read:
    def reader(value: object, path: Path, problems: Problems) -> object:
        try:
            return read(value)
        except Unfit as unfit:
            problems.append(ChecklistError(path, f"{_label(path)} {unfit}"))
            return None

    return reader


def _label(path: Path) -> str:
    """Return the keys behind the last number, or the list's own key."""
    numbers = [place for place, part in enumerate(path) if isinstance(part, int)]
    tail = path[numbers[-1] + 1 :] if numbers else path
    named = tail or [part for part in path if isinstance(part, str)][-1:]
    return "/".join(map(str, named)) or "the document"


def _each(read: Read) -> Read:
    def reader(value: object, path: Path, problems: Problems) -> object:
        if not isinstance(value, list) or not value:
            wanted = "wants a list with at least one entry, each line beginning with a hyphen"
            sentence = f"{_label(path)} {wanted}, not {kind(value or None)}"
            problems.append(ChecklistError(path, sentence))
            return None
        return [read(entry, (*path, place), problems) for place, entry in enumerate(value)]

    return reader


def _table(noun: str, keys: Mapping[str, Key]) -> Read:
    def reader(value: object, path: Path, problems: Problems) -> object:
        if not isinstance(value, dict):
            known = ", ".join(keys)
            sentence = f"{noun} is written as keys with values ({known}), not as {kind(value)}"
            problems.append(ChecklistError(path, sentence))
            return None
        for key in [key for key in value if key not in keys]:
            hint = nearest(key, tuple(keys)) or f"; known are {', '.join(keys)}"
            sentence = f"{key!r} is not a key of {noun}{hint}"
            problems.append(ChecklistError((*path, key), sentence, at_key=True))
        for key in [key for key in keys if keys[key].needed and key not in value]:
            problems.append(ChecklistError(path, f"{noun} lacks the key {key!r}; add it"))
        known_here = {key: entry for key, entry in value.items() if key in keys}
        return {key: keys[key].read(v, (*path, key), problems) for key, v in known_here.items()}

    return reader


def _map(read_key: Callable[[object], str], read: Read) -> Read:
    def reader(value: object, path: Path, problems: Problems) -> object:
        if not isinstance(value, dict) or not value:
            sentence = f"{_label(path)} wants keys with values below it, not {kind(value or None)}"
            problems.append(ChecklistError(path, sentence))
            return None
        for key in value:
            try:
                read_key(key)
            except Unfit as unfit:
                sentence = f"the key below {_label(path)} {unfit}"
                problems.append(ChecklistError((*path, key), sentence, at_key=True))
        return {key: read(entry, (*path, key), problems) for key, entry in value.items()}

    return reader


_name = _leaf(value_of.name)
_text = _leaf(value_of.text)
_number = _leaf(value_of.number)
_duration = _leaf(value_of.duration)
_flag = _leaf(value_of.yes_or_no)
_languages = _map(value_of.language, _text)


def _words(value: object, path: Path, problems: Problems) -> object:
    if isinstance(value, dict):
        return _languages(value, path, problems)
    return _text(value, path, problems)


_MEASURE = {
    "quantity": Key(_name, needed=True),
    "in": Key(_text, needed=True),
    "low": Key(_number),
    "high": Key(_number),
    "every": Key(_duration),
}
_ITEM = {
    "item": Key(_name, needed=True),
    "look": Key(_words, needed=True),
    "how": Key(_words),
    "good": Key(_words),
    "findings": Key(_map(value_of.name, _words)),
    "critical": Key(_flag),
    "optional": Key(_flag),
    "photo": Key(_leaf(value_of.one_of("asked", "no"))),
    "measure": Key(_table("a measure", _MEASURE)),
    "timer": Key(_duration),
    "sign": Key(_leaf(value_of.sign)),
    "refs": Key(_each(_text)),
}
_STATION = {
    "station": Key(_name, needed=True),
    "title": Key(_words, needed=True),
    "engine": Key(_leaf(value_of.one_of("stopped", "running")), needed=True),
    "items": Key(_each(_table("an item", _ITEM)), needed=True),
}
_CHECKLIST = {
    "checklist": Key(_name, needed=True),
    "title": Key(_words, needed=True),
    "machine": Key(_text, needed=True),
    "occasion": Key(_leaf(value_of.one_of(*OCCASIONS)), needed=True),
    "power": Key(_leaf(value_of.one_of("engine", "electric"))),
    "language": Key(_leaf(value_of.language)),
    "guide_minutes": Key(_leaf(value_of.count)),
    "valid_for": Key(_duration),
    "cautions": Key(_each(_words)),
    "stations": Key(_each(_table("a station", _STATION)), needed=True),
}
_checklist = _table("a checklist", _CHECKLIST)

KEYS = {"checklist": _CHECKLIST, "station": _STATION, "item": _ITEM, "measure": _MEASURE}
