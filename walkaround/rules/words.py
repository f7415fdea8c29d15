"""Words in more than one language."""

from collections.abc import Mapping

Text = Mapping[str, str]


def say(text: Text, language: str) -> str:
    """Return the words in the language asked for, else its parent, else English, else any."""
    for wanted in (language, language.partition("-")[0], "en"):
        if wanted in text:
            return text[wanted]
    return next(iter(text.values()), "")
