"""The Spanish of the interface: all of it is there, and it says what the English says."""

import ast
import re
import shlex
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from babel.messages.catalog import Message
from babel.messages.extract import extract_from_dir
from babel.messages.frontend import parse_keywords
from babel.messages.pofile import read_po

from tests import make
from tests.paper.raster import words as words_on_paper
from tests.test_checklist_words import texts
from tests.test_cli import run
from walkaround.paper.labels import Label, labels_pdf
from walkaround.store.checklists_yaml import read_file
from walkaround.words import catalogue, gettext

TOP = Path(__file__).resolve().parent.parent
BOOK = TOP / "walkaround/languages/es/walkaround.po"
GAP = re.compile(r"%\(\w+\)s|%%|\{\w+\}")

# What we call things: wherever the English speaks of one, so must the Spanish. The terms of the
# trade are common practice, no source.
TERMS = {
    r"walk-around": r"ronda",
    r"defects?\b(?! can)": r"defecto",
    r"defer(red|s|ral|rals)?\b": r"apla[zc]",
    r"mechanic": r"mecánico",
    r"supervisor": r"encargado",
    r"operator": r"operario",
    r"hour.meter": r"horómetro",
    r"crew number": r"número de personal|números de personal",
    r"logbook": r"libro",
    r"label(?!.*stranger)": r"etiqueta",
    r"second look": r"segunda revisión",
    r"tagged out|tags (\S+ ){1,2}out\b": r"fuera de servicio",
    r"not checked": r"sin revisar",
    r"laid up": r"retirada",
    r"restrictions": r"restricciones",
    r"maker's manual": r"manual del fabricante",
    r"unconfirmed": r"sin confirmar",
}


def commands() -> list[list[str]]:
    """Return the commands that DEVELOPERS.md gives for this."""
    lines = (TOP / "DEVELOPERS.md").read_text().splitlines()
    return [shlex.split(line) for line in lines if line.startswith(".venv/bin/pybabel ")]


@cache
def extracted() -> frozenset[str]:
    """Return every English sentence that is marked in templates and Python files."""
    said = tomllib.loads((TOP / "pyproject.toml").read_text())["tool"]["babel"]["mappings"]
    methods = [(one["pattern"], one["method"]) for one in said]
    options = commands()[0]
    marks = parse_keywords(
        after for option, after in zip(options, options[1:], strict=False) if option == "-k"
    )
    found = extract_from_dir(TOP, methods, keywords=marks)
    sentences = (one for _, _, message, _, _ in found for one in forms(message))
    return frozenset(sentences)


@cache
def written() -> tuple[Message, ...]:
    """Return what stands in the Spanish catalogue."""
    with BOOK.open("rb") as file:
        return tuple(one for one in read_po(file, abort_invalid=True) if one.id)


def forms(words: str | list[str] | tuple[str, ...]) -> list[str]:
    """Return the sentence, or both where there is one for one and one for many."""
    return [words] if isinstance(words, str) else [one for one in words if one]


def pairs() -> Iterator[tuple[str, str]]:
    """Yield each English sentence with the Spanish one."""
    for one in written():
        yield from zip(forms(one.id), forms(one.string), strict=True)


def ends(sentence: str) -> str:
    """Return the mark at the end, if it is one that a reader hears."""
    return sentence[-1] if sentence[-1] in ".:?" else ""


def test_every_sentence_is_in_spanish():
    spanish = catalogue("es")

    assert len(extracted()) > 500
    assert not sorted(sentence for sentence in extracted() if not spanish.get(sentence))


def test_nothing_stands_there_that_nobody_says():
    with BOOK.open("rb") as file:
        book = read_po(file)

    assert not sorted(sentence for sentence, _ in pairs() if sentence not in extracted())
    assert not book.obsolete
    assert not [one.id for one in book if one.id and one.fuzzy]


def test_the_commands_of_the_documentation_find_nothing_to_change(tmp_path: Path):
    book, sentences = tmp_path / "es.po", tmp_path / "walkaround.pot"
    book.write_bytes(BOOK.read_bytes())
    places = {"/tmp/walkaround.pot": str(sentences), str(BOOK.relative_to(TOP)): str(book)}

    for command in commands():
        words = [places.get(word, word) for word in command[1:]]
        program = [sys.executable, "-m", "babel.messages.frontend", *words]
        subprocess.run(program, cwd=TOP, check=True, capture_output=True)

    with book.open("rb") as file:
        assert {one.id: one.string for one in read_po(file) if one.id} == {
            one.id: one.string for one in written()
        }


def test_no_sentence_hides_where_the_extraction_does_not_look():
    for path in (TOP / "walkaround").rglob("*.py"):
        strings = (n for n in ast.walk(ast.parse(path.read_text())) if isinstance(n, ast.JoinedStr))
        calls = (n for one in strings for n in ast.walk(one) if isinstance(n, ast.Call))

        assert not [
            call.lineno
            for call in calls
            if isinstance(call.func, ast.Name)
            and call.func.id in ("say", "say_number", "N_")
            and isinstance(call.args[0], ast.Constant)
        ], path


def test_both_sentences_have_the_same_gaps():
    for english, spanish in pairs():
        assert Counter(GAP.findall(english)) == Counter(GAP.findall(spanish)), english
        assert "%" not in GAP.sub("", spanish), spanish


def test_both_sentences_end_alike():
    for english, spanish in pairs():
        assert ends(english) == ends(spanish), f"{english}\n{spanish}"


def test_a_question_is_opened_as_well():
    # Ortografía de la lengua española (2010): both question marks are obligatory.
    for _, spanish in pairs():
        assert spanish.count("¿") == spanish.count("?"), spanish
        assert spanish.count("«") == spanish.count("»"), spanish


def test_nobody_is_addressed_as_a_friend():
    friendly = re.compile(r"\b(tú|tu|tus|te|ti|contigo|vosotros|vuestr\w+)\b", re.IGNORECASE)

    assert not [spanish for _, spanish in pairs() if friendly.search(spanish)]


@pytest.mark.parametrize("term", TERMS)
def test_one_thing_has_one_name(term: str):
    about = [(e, s) for e, s in pairs() if re.search(term, e, re.IGNORECASE)]

    assert about
    for english, spanish in about:
        assert re.search(TERMS[term], spanish, re.IGNORECASE), f"{english}\n{spanish}"


def test_no_sentence_says_that_a_machine_is_safe():
    for english, spanish in pairs():
        claims = re.findall(r"\bsegur[ao]s?\b", spanish)
        denied = re.search(r"[Nn]o (quiere decir|digo) que", spanish)

        assert not claims or denied, f"{english}\n{spanish}"


@pytest.mark.parametrize("path", sorted(make.LISTS.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_lists_of_the_tests_are_in_spanish(path: Path):
    for place, text in texts(read_file(path)):
        assert text.get("es"), place


def test_a_sentence_that_nobody_has_put_into_spanish_is_said_in_english():
    assert gettext("es")("Nobody wrote this: %(what)s", what="x") == "Nobody wrote this: x"
    assert gettext("en")("Defects") == "Defects"


def test_labels_in_spanish_hold_no_english():
    label = Label("L07", "Cargadora", "pala", "https://site.example/q/aaaaaaaaaaaaaaaaaaaaaa")

    said = words_on_paper(labels_pdf([label], "Cantera", "es", gettext("es"), "555 0101"))

    assert "Haga la ronda antes de arrancarla." in said
    assert not [
        one for one in extracted() if len(one.split()) > 2 and "%" not in one and one in said
    ]
    assert not re.search(r"\b(the|of|and|is|it|this|before|wrong)\b", said, re.IGNORECASE)


def test_commands_speak_english_on_a_spanish_site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("WALKAROUND_DATA", str(tmp_path))
    monkeypatch.setenv("WALKAROUND_CHECKLISTS", str(make.LISTS))
    monkeypatch.setenv("LANG", "es_ES.UTF-8")
    run("init --site Cantera --zone Europe/Madrid --shifts 06:00,14:00 --language es")

    again = run("init --site Otra --zone UTC --shifts 06:00")

    assert "There is a site here already, Cantera: nothing was changed." in again.stderr
