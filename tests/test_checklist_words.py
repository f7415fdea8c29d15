"""The words of the lists that are shipped: both languages, and nothing vague."""

import re
from collections.abc import Iterator

import pytest

from tests.test_checklists import FILES, of_item, shipped
from walkaround.rules.checklist import Checklist
from walkaround.rules.words import Text


def texts(checklist: Checklist) -> Iterator[tuple[str, Text]]:
    """Return every text that somebody reads, with the place where it stands."""
    yield "title", checklist.title
    yield from (("caution", caution) for caution in checklist.cautions)
    yield from ((station.name, station.title) for station in checklist.stations)
    for item in checklist.items:
        yield from ((f"{item.name}/{key}", text) for key, text in item.findings.items())
        yield from ((item.name, text) for text in (item.look, item.how, item.good) if text)


@pytest.mark.parametrize("name", FILES)
def test_what_a_defect_goes_by_is_short_and_holds_no_advice(name: str) -> None:
    """The words of `look` stand on the board and in the mechanic's list; `how` is for the walk."""
    for item in shipped(name).items:
        for words in item.look.values():
            assert len(words) <= 75, words
            assert not re.search(r"[;:?]| - ", words), words


# What an item may say and leave the answers where the thumb is; a longer one pushes them down.
LENGTHS = {"good": 150, "how": 80, "finding": 40}


@pytest.mark.parametrize("name", FILES)
def test_no_words_of_an_item_are_longer_than_their_place(name: str) -> None:
    for item in shipped(name).items:
        long = [("finding", text) for text in item.findings.values()]
        long += [("good", item.good)] + ([("how", item.how)] if item.how else [])

        for kind, text in long:
            assert [words for words in text.values() if len(words) > LENGTHS[kind]] == [], item.name


@pytest.mark.parametrize("name", FILES)
def test_every_text_is_there_in_both_languages(name: str) -> None:
    for place, text in texts(shipped(name)):
        assert set(text) == {"en", "es"}, place
        assert text["en"] != text["es"], place


# Words with which a list says nothing: whoever reads them knows no more than before.
VAGUE = {
    "en": r"ok|okay|good|fine|check(ed)?|proper(ly)?|adequate|appropriate|as (required|needed)"
    r"|acceptable|normal|working order|serviceable|satisfactory",
    "es": r"ok|bien|buen estado|correct[oa]s?|adecuad[oa]s?|apropiad[oa]s?|normal"
    r"|revis(ar|e|ad[oa])|comprob(ar|ad[oa])|compruebe|según (sea necesario|proceda)"
    r"|funciona correctamente|aceptable",
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", FILES)
def test_what_is_good_is_said_in_words_that_can_be_seen(name: str, language: str) -> None:
    vague = re.compile(rf"\b({VAGUE[language]})\b", re.IGNORECASE)

    for item in shipped(name).items:
        assert not vague.search(item.good[language]), (item.name, item.good[language])
        assert len(item.good[language].split()) >= 5, item.name


@pytest.mark.parametrize("name", FILES)
def test_every_item_that_is_seen_offers_findings(name: str) -> None:
    for item in shipped(name).items:
        assert item.measure or item.findings, item.name


@pytest.mark.parametrize("name", FILES)
def test_every_list_puts_the_site_and_the_manual_first(name: str) -> None:
    english = " ".join(caution["en"] for caution in shipped(name).cautions)

    assert "Site rules, local law and the maker's manual come first" in english
    for words in ("level ground", "parking brake", "stop the engine", "key", "moving parts"):
        assert words in english
    assert "three points of contact" in english


@pytest.mark.parametrize("name", FILES)
def test_no_list_calls_a_machine_safe(name: str) -> None:
    for place, text in texts(shipped(name)):
        claim = re.search(r"\b(is|are|makes? \w+) (legal|safe)\b", text["en"])
        assert not claim or "makes no" in text["en"], place


# One word for one thing in all lists, and "usted" in what one is told to do; common practice, no
# source. The exhaust fluid has both its names once, at the gauge.
OTHER_WORDS = {
    "es": r"cucharón|freno de mano|espejos?\b|líquido de escape|sistema de escape|montacargas"
    r"|cauchos?|(?:^|[.;:] )(?:No |Solo )?(?:mirar|tocar|comprobar|revisar)\b",
    "en": r"\b(?:tires?|moldboards?|caliper|center|windshield|bull wheel)\b",
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", FILES)
def test_one_thing_has_one_word_in_all_lists(name: str, language: str) -> None:
    other = re.compile(OTHER_WORDS[language], re.IGNORECASE)

    for place, text in texts(shipped(name)):
        words = text[language].replace("Líquido de escape (urea)", "urea")
        assert not other.search(words), (place, words)


# The terms of the trade in Spanish; common practice, no source.
TERMS = {
    "engine-oil": "nivel de aceite",
    "leaks-underneath": "fuga",
    "reverse-alarm": "avisador de retroceso",
    "battery-and-isolator": "cortacorriente",
    "quick-coupler-lock": "enganche rápido",
    "bucket-and-edge": "cuchilla",
    "parking-brake": "freno de estacionamiento",
}


@pytest.mark.parametrize(("name", "term"), TERMS.items())
def test_spanish_uses_the_words_of_the_trade(name: str, term: str) -> None:
    item = shipped("wheel-loader-start").item(name)

    assert item is not None
    findings = (words["es"] for words in item.findings.values())
    assert term in " ".join([of_item(item, "es"), *findings]).lower()
