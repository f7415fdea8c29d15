"""Pages in Spanish: nothing on them is English but what people wrote themselves."""

import re
from collections.abc import Iterator

import pytest
from bs4 import BeautifulSoup, Tag
from flask import Flask
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from tests.repairs import clear, defer, find
from tests.test_words import extracted
from tests.web.conftest import Program
from tests.web.routes import addresses, much
from walkaround.web.reasons import STATES
from walkaround.words import MACHINES, catalogue

SPOKEN = ("alt", "aria-label", "title", "placeholder", "content")  # besides data-...
PLAIN = ("data-module", "data-part", "data-zone", "data-tag")
FURTHER = (
    "/units/L07/walkarounds/new?occasion=end_of_shift",
    "/units/L07/defects/new?item=tyre",
    "/units/L07/defects/new?item=",
    "/units/D02",
    "/nowhere",
)
SPANISH = {"Accept-Language": "es-MX,es;q=0.9,en;q=0.5"}
# Words that are in nearly every English sentence and in no Spanish one.
ENGLISH = re.compile(
    r"\b(the|of|and|is|was|were|not|with|it|this|that|by|to|for|from|until|at|on|nobody|or)\b",
    re.IGNORECASE,
)
KINDS = re.compile(rf"\b({'|'.join(MACHINES)})\b", re.IGNORECASE)


@pytest.fixture
def filled(
    db: Session, of_operator: Program, of_mechanic: Program, of_supervisor: Program
) -> dict[str, str]:
    """Something of each kind on L07."""
    made = much(db, of_operator, of_mechanic, of_supervisor)
    entry = made["unconfirmed"]
    return made | {"id of corrections.confirm": entry, "id of corrections.correct": entry}


@pytest.mark.parametrize("who", ["operator", "mechanic", "supervisor"])
def test_no_page_holds_english(
    app: Flask, filled: dict[str, str], who: str, request: pytest.FixtureRequest
):
    reader: Client = request.getfixturevalue(who)

    for path in pages(app, filled):
        answer = reader.get(path, headers=SPANISH, follow_redirects=True, buffered=True)
        if answer.mimetype == "text/html":
            assert not english(answer.text), f"{path}: {english(answer.text)}"


@pytest.mark.parametrize("who", ["operator", "mechanic", "supervisor"])
def test_no_form_answers_in_english(
    app: Flask, filled: dict[str, str], who: str, request: pytest.FixtureRequest
):
    reader: Client = request.getfixturevalue(who)

    for path in pages(app, filled, "POST"):
        wrong = {"until": "x", "until_date": "x", "hours": "x", "number": "/", "csrf_token": ""}
        answer = reader.post(f"{path}?lang=es", data={**wrong, "csrf_token": reader.token()})
        if answer.mimetype == "text/html" and answer.status_code >= 400:
            assert not english(answer.text), f"{path}: {english(answer.text)}"


def test_a_stranger_reads_no_english(client: Client, filled: dict[str, str]):
    for path in (f"/q/{filled['token']}", "/q/nowhere", "/sign-in", "/enrol/no-code", "/nowhere"):
        answer = client.get(path, headers=SPANISH)

        assert not english(answer.text), f"{path}: {english(answer.text)}"


def test_no_state_is_told_in_english(mechanic: Client, of_operator: Program, of_mechanic: Program):
    of_operator.enter_one("walkaround", make.walkaround())
    told = [mechanic.get("/units/L07?lang=es").text]
    found = find(of_operator, 12, seat={})
    told.append(mechanic.get("/units/L07?lang=es").text)
    defer(of_mechanic, found)
    told.append(mechanic.get("/units/L07?lang=es").text)
    clear(of_mechanic, found, 25)
    told.append(mechanic.get(f"/defects/L07/{found[0]}?lang=es").text)

    assert [BeautifulSoup(page, "html.parser").h1.text for page in told] == [
        "Puede trabajar",
        "Fuera de servicio",
        "Puede trabajar con restricciones",
        "Asiento",
    ]
    assert not [english(page) for page in told if english(page)]


@pytest.mark.parametrize("state", STATES)
def test_every_state_has_spanish_words_that_promise_nothing(state: str):
    words = catalogue("es")[STATES[state]]

    assert words != STATES[state]
    assert not re.search(r"segur|apt[oa]|garantiz", words, re.IGNORECASE)


def test_programs_read_reasons_in_spanish(of_supervisor: Program, filled: dict[str, str]):
    unit = of_supervisor.read("/units/L07", lang="es")

    said = [reason["text"] for reason in unit["verdict"]["reasons"]]
    assert "Bloqueo: Brakes" in said
    assert not [words for words in said if ENGLISH.search(words)]


def test_what_is_in_doubt_says_why_in_spanish(supervisor: Client, filled: dict[str, str]):
    page = supervisor.page("/doubts", lang="es")

    assert "no se pudo leer: «wish» no es una clase de anotación" in page.text


def test_dates_and_numbers_are_written_the_spanish_way(operator: Client, of_operator: Program):
    # Unicode CLDR for es: a comma before decimals, months in small letters.
    of_operator.enter_one("hours", {"value": 84.5}, minutes=-600)

    page = operator.page("/units/L07/logbook", lang="es")

    assert "Horómetro: 84,5 h" in page.text
    assert "24 nov 20:00" in page.text


def pages(app: Flask, filled: dict[str, str], method: str = "GET") -> Iterator[str]:
    """Yield the paths of all pages; the one that signs out comes to nobody's help here."""
    found = (one for one in addresses(app, filled) if one.method == method)
    outside = ("/api/", "/static/", "/sign-out", "/enrol/", "/healthz", "/readyz")
    yield from sorted(one.path for one in found if not one.path.startswith(outside))
    if method == "GET":
        yield from FURTHER


def english(page: str) -> list[str]:
    """Return what a page says in English, to eye or ear."""
    soup = BeautifulSoup(page, "html.parser")
    assert isinstance(soup.html, Tag)
    assert soup.html["lang"] == "es"
    sentences = {one for one in extracted() if len(one.split()) > 2 and "%(" not in one}
    said = list(spoken(soup))
    found = (ENGLISH.search, KINDS.search, sentences.__contains__)
    return [words for words in said if any(look(words) for look in found)]


def spoken(soup: BeautifulSoup) -> Iterator[str]:
    """Yield each text of a page, what only a screen reader or a script says included."""
    for style in soup.find_all(["style", "script"]):
        style.decompose()
    yield from (" ".join(text.split()) for text in soup.find_all(string=True) if text.strip())
    for node in soup.find_all(True):
        for name, value in node.attrs.items():
            if name in SPOKEN or (name.startswith("data-") and name not in PLAIN):
                yield " ".join(str(value).split())
