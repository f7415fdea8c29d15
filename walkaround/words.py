"""The words of the interface in every language, from one source."""

from collections.abc import Callable, Sequence
from functools import cache

from babel.messages.pofile import read_po

from walkaround import places
from walkaround.rules.refusal import N_

LANGUAGES = ("en", "es")
# The kinds that the shipped lists are for. A site may name others; those stay in its own words.
MACHINES = (
    N_("combustion forklift"),
    N_("dozer"),
    N_("electric forklift"),
    N_("excavator"),
    N_("haul truck"),
    N_("motor grader"),
    N_("road truck"),
    N_("telehandler"),
    N_("wheel loader"),
)
_FOLDER = places.languages()

Say = Callable[[str], str]


def gettext(language: str) -> Callable[..., str]:
    """Return what says a sentence in a language, its gaps filled."""

    def say(sentence: str, **data: object) -> str:
        words = catalogue(language).get(sentence, sentence)
        return words % data if data else words

    return say


def machine(kind: str, say: Say) -> str:
    """Return the words for a kind of machine, or for a title that is only that."""
    known = " ".join(kind.split()).casefold()
    return _begun_like(kind, say(known)) if known in MACHINES else kind


def kind(words: str, say: Say) -> str:
    """Return the kind of machine that words name, else the words; undoes `machine`."""
    given = " ".join(words.split()).casefold()
    named = [one for one in MACHINES if say(one) == given]
    return _begun_like(words, named[0]) if named else words


def _begun_like(like: str, words: str) -> str:
    """Return words with a capital where what they stand for begins with one."""
    return words[:1].upper() + words[1:] if like.strip()[:1].isupper() else words


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
