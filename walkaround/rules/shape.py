"""The shape of a body: what each of its members must be like, whatever it means."""

import math
import re
from typing import ClassVar

from walkaround.rules import instant

_UUID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.IGNORECASE)
_SHA256 = re.compile(r"[0-9a-f]{64}")
_LONGEST = 20_000  # letters in one text


class Body:
    """A body; `_ids`, `_words` and so on name the members that must have that shape."""

    _ids: ClassVar[tuple[str, ...]] = ()
    _words: ClassVar[tuple[str, ...]] = ()
    _instants: ClassVar[tuple[str, ...]] = ()
    _amounts: ClassVar[tuple[str, ...]] = ()

    def __post_init__(self) -> None:
        for names, judge in (
            (self._ids, _id),
            (self._words, _said),
            (self._instants, instant.parse),
            (self._amounts, _amount),
        ):
            for name in names:
                _each(name, getattr(self, name), judge)
        for name in self._ids:
            object.__setattr__(self, name, _lower(getattr(self, name)))


def is_uuid(text: object) -> bool:
    """Say whether this is a UUID as text."""
    return isinstance(text, str) and bool(_UUID.fullmatch(text))


def _each(name: str, value: object, judge: object) -> None:
    """Judge one member, or each of its values; say which member it was."""
    for one in value if isinstance(value, tuple) else () if value is None else (value,):
        try:
            judge(one)  # type: ignore[operator]
        except ValueError as error:
            raise ValueError(f"{name}: {error}") from error


def _id(value: str) -> None:
    if not is_uuid(value):
        raise ValueError("must be a UUID")


def _lower(value: str | tuple[str, ...]) -> str | tuple[str, ...]:
    """Ids compare as text everywhere, so they are told apart by nothing but their digits."""
    return value.lower() if isinstance(value, str) else tuple(one.lower() for one in value)


def _said(value: str) -> None:
    if not value.strip():
        raise ValueError("must say something")
    if len(value) > _LONGEST:
        raise ValueError(f"must not be longer than {_LONGEST} letters")


def _amount(value: float) -> None:
    if not math.isfinite(value) or value < 0:
        raise ValueError("must be a number, and not below zero")


def check_photos(values: tuple[str, ...]) -> None:
    if not all(_SHA256.fullmatch(value) for value in values):
        raise ValueError("photos: each is named by the SHA-256 of its bytes, in lower-case hex")
