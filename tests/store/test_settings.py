"""Settings with their dates, out of the database."""

import pytest

from tests import make
from walkaround.rules import instant
from walkaround.rules.instant import MINUTE
from walkaround.store import settings


def test_the_first_value_holds_from_the_beginning_and_others_from_when_they_are_set(db):
    settings.put(db, "call", "Ana", make.at(5))
    settings.put(db, "call", "Ben", make.at(9))

    found = [settings.at(db, "call", make.at(m)) for m in (-9999, 8.9, 9, 99)]

    assert found == ["Ana", "Ana", "Ben", "Ben"]
    assert settings.value(db, "call") == "Ben"
    assert settings.value(db, "other") is None


def test_a_unit_has_settings_of_its_own(db):
    settings.put(db, "biodiesel_limit", "7", make.at(5), about="L07")

    assert settings.value(db, "biodiesel_limit", about="L07") == "7"
    assert settings.value(db, "biodiesel_limit") is None
    assert settings.value(db, "biodiesel_limit", about="D02") is None


def test_two_values_at_one_instant_are_one_the_last(db):
    settings.put(db, "call", "Ana", make.at(5))
    settings.put(db, "call", "Ben", make.at(9))
    settings.put(db, "call", "Cid", make.at(9))

    assert settings.history(db, "call") == ((0, "Ana"), (make.at(9), "Cid"))


def test_the_rules_of_the_site_follow_their_dates(db):
    settings.put(db, "early", "15", make.at(60))
    settings.put(db, "shifts", "07:00,19:00", make.at(60))

    rules = settings.site_rules(db)

    assert [rules.early(make.at(m)) for m in (59, 60)] == [60 * MINUTE, 15 * MINUTE]
    assert instant.text(rules.roster.at(make.at(59)).start) == "2026-11-25T05:00:00Z"
    assert instant.text(rules.roster.at(make.at(61)).start) == "2026-11-25T06:00:00Z"


@pytest.mark.parametrize(
    ("words", "since"),
    [("", None), ("on", 1), ("on on", 1), ("on off", None), ("on off on", 3), ("off", None)],
)
def test_second_looks_are_asked_for_since_they_are_on_without_a_break(db, words, since):
    for minute, word in enumerate(words.split(), 1):
        settings.put(db, "second_look", word, make.at(minute))

    found = settings.site_rules(db).second_look_since

    assert found == (None if since is None else make.at(since))


def test_the_units_of_the_site_are_those_of_si_unless_set(db):
    assert settings.units(db) == {"pressure": "kPa", "length": "mm", "temperature": "°C"}

    settings.put(db, "length", "1/32 in", make.at(5))
    settings.put(db, "temperature", "F", make.at(5))

    assert settings.units(db) == {"pressure": "kPa", "length": "1/32 in", "temperature": "°F"}
