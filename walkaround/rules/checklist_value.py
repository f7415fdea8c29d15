"""Single values of a checklist document: what each may be, and the words for what it may not."""

import re
import unicodedata
from collections.abc import Callable, Sequence
from difflib import get_close_matches

from walkaround.rules.instant import DAY, HOUR, MINUTE, SECOND
from walkaround.rules.sign import SIGNS

LONGEST_TEXT = 2_000
LARGEST_NUMBER = 1_000_000_000
UNITS_OF_TIME = {"s": SECOND, "min": MINUTE, "h": HOUR, "d": DAY}

_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*")
_NUMBER = re.compile(r"-?\d{1,15}(\.\d{1,9})?")
_DURATION = re.compile(r"([1-9]\d{0,6}) ?(s|min|h|d)")
_TURNS_TEXT_ROUND = {*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E, 0x200F}


class Unfit(ValueError):
    """A value that does not fit; its words follow the name of the key."""


def text(value: object) -> str:
    """Return words with single spaces between them; Unfit if there are none."""
    if value is None or value == "":
        raise Unfit("is empty; write the words after it")
    if not isinstance(value, str):
        raise Unfit(f"wants plain words, not {kind(value)}")
    if any(_is_hidden(letter) for letter in value):
        raise Unfit("holds a letter that cannot be seen; delete the words and type them again")
    words = " ".join(unicodedata.normalize("NFC", value).split())
    if not words:
        raise Unfit("is empty; write the words after it")
    if len(words) > LONGEST_TEXT:
        raise Unfit(f"has {len(words)} letters; at most {LONGEST_TEXT} fit")
    return words


def name(value: object) -> str:
    """Return a name made of lower-case words with hyphens."""
    given = text(value)
    if len(given) > 80 or not _NAME.fullmatch(given):
        raise Unfit(f"wants lower-case words with hyphens, like tyre-front-left, not {given!r}")
    return given


def language(value: object) -> str:
    """Return a language code such as en or pt-BR."""
    given = text(value)
    if not _LANGUAGE.fullmatch(given):
        raise Unfit(f"wants a language code, like en or es, not {given!r}")
    return given


def number(value: object) -> int | float:
    """Return a number; whole ones as int, so that they are written alike everywhere."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise Unfit(f"wants a number, like 300, not {kind(value)}")
    amount = _spelled(value) if isinstance(value, str) else value
    if not abs(amount) <= LARGEST_NUMBER:  # so written, it holds for what is not a number too
        raise Unfit(f"wants a number between -{LARGEST_NUMBER} and {LARGEST_NUMBER}")
    return int(amount) if amount == int(amount) else amount


def count(value: object) -> int:
    """Return a whole number of at least one."""
    amount = number(value)
    if not isinstance(amount, int) or amount < 1:
        raise Unfit(f"wants a whole number of at least 1, not {amount}")
    return amount


def yes_or_no(value: object) -> bool:
    """Return what true, false, yes or no says."""
    said = {"true": True, "yes": True, "false": False, "no": False}
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value.lower() in said:
        return said[value.lower()]
    raise Unfit(f"wants true or false, not {_shown(value)}")


def duration(value: object) -> str:
    """Return a length of time as it is written, like 7 d."""
    found = _DURATION.fullmatch(value.strip()) if isinstance(value, str) else None
    if not found or _length(found) > 366 * DAY:
        wanted = "wants a length of time, like 80 s, 5 min, 10 h or 7 d (at most 366 d)"
        raise Unfit(f"{wanted}, not {_shown(value)}")
    return f"{found[1]} {found[2]}"


def milliseconds(written: str) -> int:
    """Return how long a duration lasts."""
    found = _DURATION.fullmatch(written)
    if not found:
        raise Unfit(f"{written!r} is not a length of time")
    return _length(found)


def one_of(*known: str) -> Callable[[object], str]:
    """Return a reader that takes one of these words."""

    def read(value: object) -> str:
        if isinstance(value, str) and value in known:
            return value
        raise Unfit(f"wants {' or '.join(known)}, not {_shown(value)}{nearest(value, known)}")

    return read


def sign(value: object) -> str:
    """Return the name of one of our signs."""
    if isinstance(value, str) and value in SIGNS:
        return value
    hint = nearest(value, SIGNS) or "; checklists/README.md has them all"
    raise Unfit(f"wants the name of a sign, like dipstick, not {_shown(value)}{hint}")


def nearest(given: object, known: Sequence[str]) -> str:
    """Return a question that names the known word most like the one given, or nothing."""
    folded = {word.lower(): word for word in known}
    close = get_close_matches(str(given).lower().replace(" ", "_"), folded, n=1, cutoff=0.7)
    return f"; did you mean {folded[close[0]]}?" if close else ""


def kind(value: object) -> str:
    """Return what a value is, in the words of somebody who writes YAML by hand."""
    if value is None or value == "":
        return "nothing"
    if isinstance(value, dict):
        return "keys with values below it"
    return "a list" if isinstance(value, list) else repr(value)


def _is_hidden(letter: str) -> bool:
    if letter in "\n\r":
        return False
    return unicodedata.category(letter) in {"Cc", "Cs"} or ord(letter) in _TURNS_TEXT_ROUND


def _spelled(value: str) -> float:
    if re.fullmatch(r"-?\d+,\d+", value):
        raise Unfit(f"wants a point in the number: {value.replace(',', '.')}, not {value}")
    if re.fullmatch(r"-?0\d+(\.\d+)?", value):
        bare = value.replace("-", "").lstrip("0")
        raise Unfit(f"wants a number without a nought in front: {bare or 0}, not {value}")
    if not _NUMBER.fullmatch(value):
        raise Unfit(f"wants a number, like 300, not {_shown(value)}")
    return float(value)


def _length(found: re.Match[str]) -> int:
    return int(found[1]) * UNITS_OF_TIME[found[2]]


def _shown(value: object) -> str:
    shown = kind(value)
    return shown if len(shown) <= 60 else f"{shown[:57]}..."
