"""The language of an answer, and the words of the interface in it."""

from flask import Flask, g, request

from walkaround import words
from walkaround.rules.person import Person
from walkaround.words import LANGUAGES, gettext


def register(app: Flask) -> None:
    """Let templates say `_` and know the language."""
    app.jinja_env.globals.update(_=say, n_=say_number)
    app.jinja_env.filters["machine"] = machine
    app.context_processor(
        lambda: {"language": g.get("language", "en"), "demo": g.get("demo", False)}
    )


def choose(site_language: str, person: Person | None = None) -> str:
    """Return `?lang=`, else on pages the person's, else the browser's, else the site's."""
    asked = request.args.get("lang", "")
    if asked in LANGUAGES:
        return asked
    if person and person.language in LANGUAGES and not request.path.startswith("/api/"):
        return str(person.language)
    return request.accept_languages.best_match(LANGUAGES) or site_language


def say(sentence: str, **data: object) -> str:
    """Return a sentence in the language of this answer, its gaps filled."""
    return gettext(g.get("language", "en"))(sentence, **data)


def machine(kind: str) -> str:
    """Return the words for a kind of machine, or for a title that is only that."""
    return words.machine(kind, say)


def say_number(one: str, many: str, number: int, **data: object) -> str:
    """Return the sentence for one or for many."""
    return say(one if number == 1 else many, number=number, **data)
