"""The words of the interface in every language, from one source."""

from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

from babel.messages.pofile import read_po

LANGUAGES = ("en", "es")
_FOLDER = Path(__file__).parent / "languages"


def gettext(language: str) -> Callable[..., str]:
    """Return what says a sentence in a language, its gaps filled."""

    def say(sentence: str, **data: object) -> str:
        words = catalogue(language).get(sentence, sentence)
        return words % data if data else words

    return say


@cache
def catalogue(language: str) -> dict[str, str]:
    """Return the translations of a language; English is the source."""
    path = _FOLDER / language / "walkaround.po"
    if not path.is_file():
        return {}
    with path.open("rb") as file:
        messages = [one for one in read_po(file) if one.id and not one.fuzzy]
    pairs = (
        pair for one in messages for pair in zip(_forms(one.id), _forms(one.string), strict=False)
    )
    return {sentence: words for sentence, words in pairs if words}


def _forms(words: str | Sequence[str] | None) -> Sequence[str]:
    """Return the sentence, or both where there is one for one thing and one for many."""
    return (words,) if isinstance(words, str) else words or ()
