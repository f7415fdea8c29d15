"""What a checklist document may hold, and what is built from it."""

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkaround.rules.checklist import ChecklistError, Measure, from_plain, kind_of
from walkaround.rules.checklist_format import read_document
from walkaround.rules.instant import DAY, HOUR

TYRE = {"item": "tyre", "look": "Tyre", "good": "No cut to the cords"}
PRESSURE = {
    "item": "pressure",
    "look": "Pressure",
    "measure": {"quantity": "pressure", "in": "kPa", "low": 300, "high": 380, "every": "7 d"},
}


def a_list(*stations: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Return a plain document; one station with one item unless told."""
    plain = {"checklist": "loader-start", "title": "Loader", "machine": "wheel loader"}
    held = list(stations) or [a_station("front")]
    return {**plain, "occasion": "start_of_shift", "stations": held, **more}


def a_station(name: str, *items: dict[str, Any], engine: str = "stopped") -> dict[str, Any]:
    """Return a station; its item is named like itself unless told."""
    held = list(items) or [{**TYRE, "item": f"{name}-item"}]
    return {"station": name, "title": name.title(), "engine": engine, "items": held}


def an_item(**more: Any) -> dict[str, Any]:
    """Return a list whose only item has these keys as well."""
    return a_list(a_station("front", {**TYRE, **more}))


def sentences(plain: object) -> list[str]:
    """Return what is wrong, with its path in front."""
    return [str(problem) for problem in read_document(plain)[1]]


def test_what_is_left_out_has_its_plain_meaning() -> None:
    checklist = from_plain(a_list(), "v1")

    (item,) = checklist.items
    assert (item.critical, item.optional, item.photo, item.timer) == (False, False, False, None)
    assert (item.findings, item.measure, item.sign, item.refs) == ({}, None, "", ())
    assert (checklist.cautions, checklist.guide_minutes, checklist.valid_for) == ((), None, None)
    assert (checklist.version, checklist.machine) == ("v1", "wheel loader")


def test_every_key_arrives() -> None:
    item = {
        **TYRE,
        "findings": {"cut": {"en": "Cut", "es": "Corte"}},
        "critical": True,
        "optional": True,
        "photo": "asked",
        "timer": "80 s",
        "sign": "tyre",
        "refs": ["30 CFR 56.14100(a)"],
    }
    checklist = from_plain(a_list(a_station("front", item), valid_for="10 h"), "v")

    built = checklist.item("tyre")
    assert built is not None
    assert (built.critical, built.optional, built.photo, built.timer) == (True, True, True, 80)
    assert built.findings == {"cut": {"en": "Cut", "es": "Corte"}}
    assert built.sign == "tyre"
    assert built.refs == ("30 CFR 56.14100(a)",)
    assert checklist.valid_for == 10 * HOUR


def test_items_stand_in_walking_order() -> None:
    checklist = from_plain(a_list(a_station("b"), a_station("a"), a_station("c")), "v")

    assert [item.name for item in checklist.items] == ["b-item", "a-item", "c-item"]
    assert checklist.item("nowhere") is None


def test_words_without_a_language_are_in_that_of_the_list() -> None:
    assert from_plain(a_list(title="Pala", language="es"), "v").title == {"es": "Pala"}
    assert from_plain(a_list(title="Loader"), "v").title == {"en": "Loader"}


@pytest.mark.parametrize(
    ("value", "side"),
    [(299.9, "low"), (300, None), (340, None), (380, None), (380.1, "high")],
)
def test_a_value_on_a_limit_is_still_good(value: float, side: str | None) -> None:
    assert Measure("pressure", "kPa", 300, 380, None).judge(value) == side


def test_a_measure_without_limits_judges_nothing() -> None:
    assert Measure("level", "%", None, None, None).judge(-1e6) is None


def test_a_measured_item_comes_back_after_its_time() -> None:
    (item,) = from_plain(a_list(a_station("front", PRESSURE)), "v").items

    assert item.measure == Measure("pressure", "kPa", 300, 380, 7 * DAY)
    assert item.good == {}


def test_how_to_look_is_apart_from_what_to_look_at() -> None:
    told = TYRE | {"how": {"en": "By eye", "es": "A la vista"}}
    item, silent = from_plain(a_list(a_station("a", told, TYRE | {"item": "rim"})), "v").items

    assert (item.look["en"], item.how["es"], silent.how) == ("Tyre", "A la vista", {})


@pytest.mark.parametrize(
    ("item", "answers"),
    [
        (TYRE, ("in_order", "defect", "could_not_check")),
        ({**TYRE, "optional": True}, ("in_order", "defect", "could_not_check", "not_fitted")),
        (PRESSURE, ("value", "could_not_check")),
        ({**PRESSURE, "optional": True}, ("value", "could_not_check", "not_fitted")),
    ],
)
def test_an_item_says_which_answers_it_takes(item: dict[str, Any], answers: object) -> None:
    (built,) = from_plain(a_list(a_station("front", item)), "v").items

    assert built.answers() == answers


@pytest.mark.parametrize(
    ("plain", "sentence"),
    [
        (an_item(critcal=True), "'critcal' is not a key of an item; did you mean critical?"),
        (an_item(colour="red"), "'colour' is not a key of an item; known are item, look, how"),
        (an_item(critical="maybe"), "critical wants true or false, not 'maybe'"),
        (an_item(photo="always"), "photo wants asked or no, not 'always'"),
        (an_item(good=["a"]), "good wants plain words, not a list"),
        (an_item(good="  "), "good is empty"),
        (an_item(good={}), "good wants keys with values below it, not nothing"),
        (an_item(good={"English": "x"}), "the key below good wants a language code"),
        (an_item(good="a\u202eb"), "good holds a letter that cannot be seen"),
        (an_item(good="x" * 2_001), "good has 2001 letters; at most 2000 fit"),
        (an_item(findings={"Cut": "x"}), "the key below findings wants lower-case words"),
        (an_item(refs="30 CFR"), "refs wants a list with at least one entry"),
        (an_item(timer="80"), "timer wants a length of time"),
        (an_item(sign="dip-stik"), "sign wants the name of a sign, like dipstick, not 'dip-stik'"),
        (an_item(sign="Tire"), "not 'Tire'; did you mean tyre?"),
        (an_item(sign="../in_order"), "; checklists/README.md has them all"),
        (an_item(sign=["tyre"]), "sign wants the name of a sign, like dipstick, not a list"),
        (an_item(item="Tyre Left"), "item wants lower-case words with hyphens"),
        (a_list(occasion="start of shift"), "did you mean start_of_shift?"),
        (a_list(valid_for="400 d"), "valid_for wants a length of time"),
        (a_list(guide_minutes="0"), "guide_minutes wants a whole number of at least 1, not 0"),
        (a_list(guide_minutes="2.5"), "guide_minutes wants a whole number of at least 1"),
        (a_list(stations=[]), "stations wants a list with at least one entry"),
        (a_list(stations={"a": "b"}), "stations wants a list with at least one entry"),
        (a_list(a_station("a"), a_station("a", TYRE)), "the station a stands twice"),
        (a_list(a_station("a", TYRE, TYRE)), "the item tyre stands twice"),
        (a_list(cautions=["x", None]), "cautions/1: cautions is empty"),
    ],
)
def test_what_does_not_fit_is_named_with_what_would(plain: object, sentence: str) -> None:
    (found,) = sentences(plain)

    assert sentence in found


@pytest.mark.parametrize("key", ["checklist", "title", "machine", "occasion", "stations"])
def test_a_missing_key_is_named(key: str) -> None:
    plain = a_list()
    del plain[key]

    assert sentences(plain) == [f"the document: a checklist lacks the key '{key}'; add it"]


def test_an_item_that_is_not_measured_says_what_is_good() -> None:
    (found,) = sentences(a_list(a_station("front", {"item": "tyre", "look": "Tyre"})))

    assert found.startswith("stations/0/items/0: an item lacks the key 'good'")


@pytest.mark.parametrize(
    ("low", "sentence"),
    [
        (381, "low (381) is above high (380); exchange them"),
        ("010", "measure/low wants a number without a nought in front: 10, not 010"),
        ("3,5", "measure/low wants a point in the number: 3.5, not 3,5"),
        ("1e3", "measure/low wants a number, like 300, not '1e3'"),
        (".inf", "measure/low wants a number, like 300, not '.inf'"),
        (True, "measure/low wants a number, like 300, not True"),
        (float("nan"), "measure/low wants a number between"),
        ("9999999999", "measure/low wants a number between"),
        (10**400, "measure/low wants a number between"),
    ],
)
def test_limits_are_numbers_in_their_order(low: object, sentence: str) -> None:
    item = {**PRESSURE, "measure": {"quantity": "p", "in": "kPa", "low": low, "high": 380}}

    (found,) = sentences(a_list(a_station("front", item)))

    assert sentence in found


def engines(occasion: str, states: str) -> list[str]:
    """Return what is wrong with stations whose engine is stopped (s) or running (r)."""
    names = {"s": "stopped", "r": "running"}
    stations = [a_station(f"n{n}", engine=names[state]) for n, state in enumerate(states)]
    return sentences(a_list(*stations, occasion=occasion))


@pytest.mark.parametrize(
    ("occasion", "states"),
    [
        ("start_of_shift", "ssrr"),
        ("start_of_shift", "ss"),
        ("start_of_shift", "r"),
        ("end_of_shift", "rs"),
        ("end_of_shift", "srrss"),
        ("end_of_shift", "s"),
        ("attachment_change", "rsrs"),
        ("after_repair", "srsr"),
    ],
)
def test_the_engine_runs_when_the_trade_runs_it(occasion: str, states: str) -> None:
    assert engines(occasion, states) == []


@pytest.mark.parametrize(
    ("occasion", "states", "place", "sentence"),
    [
        ("start_of_shift", "srs", 2, "comes before those with it running"),
        ("start_of_shift", "rs", 1, "comes before those with it running"),
        ("end_of_shift", "rsrs", 2, "is not started a second time"),
        ("end_of_shift", "sr", 1, "ends with the engine stopped"),
    ],
)
def test_the_engine_out_of_order_is_named(
    occasion: str, states: str, place: int, sentence: str
) -> None:
    (found,) = engines(occasion, states)

    assert found.startswith(f"stations/{place}/engine: ")
    assert sentence in found


def test_the_first_error_stops_what_is_built() -> None:
    with pytest.raises(ChecklistError) as raised:
        from_plain(a_list(machine=""), "v")

    assert raised.value.path == ("machine",)
    assert raised.value.sentence == "machine is empty; write the words after it"


def test_capitals_and_spaces_make_no_other_machine() -> None:
    assert kind_of(" Wheel  Loader") == kind_of("wheel loader")
    assert kind_of("wheel loader") != kind_of("wheel dozer")


anything = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inside: (
        st.lists(inside, max_size=3)
        | st.dictionaries(st.sampled_from(["item", "items", "measure", "en", "x"]), inside)
    ),
    max_leaves=12,
)


@given(st.sampled_from(["title", "stations", "cautions", "guide_minutes", "valid_for"]), anything)
def test_whatever_stands_there_is_taken_or_named(key: str, value: object) -> None:
    plain = a_list(**{key: value})

    read, problems = read_document(plain)

    assert problems or from_plain(read, "v").name == "loader-start"


@given(st.sampled_from(["critical", "good", "measure", "findings", "timer"]), anything)
def test_reading_what_was_read_changes_nothing(key: str, value: object) -> None:
    plain = an_item(**{key: value})
    before = copy.deepcopy(plain)

    read, problems = read_document(plain)

    assert repr(plain) == repr(before)
    assert problems or read_document(read) == (read, [])


@pytest.mark.parametrize("said", ["true", "yes", "YES", True])
def test_yes_is_said_in_more_than_one_way(said: object) -> None:
    (item,) = from_plain(an_item(critical=said), "v").items

    assert item.critical is True
