import pytest

from tests.people import NOON, fresh_db, some_keys, somebody
from walkaround.actions.add_token import add_token
from walkaround.actions.person_leaves import person_leaves
from walkaround.actions.revoke_token import revoke_token
from walkaround.actions.set_person import set_person
from walkaround.rules.instant import HOUR, MINUTE
from walkaround.store import tokens


@pytest.fixture
def db():
    with fresh_db() as db:
        somebody(db, "101")
        yield db


def test_a_token_acts_as_its_person(db):
    text = add_token(db, "101", NOON)

    assert tokens.person_of(db, text, NOON).crew_number == "101"


@pytest.mark.parametrize("text", ["", "wk_", "wk_" + "x" * 43, "\x00", "101"])
def test_anything_else_acts_as_nobody(db, text):
    add_token(db, "101", NOON)

    assert tokens.person_of(db, text, NOON) is None


def test_the_id_of_a_token_opens_nothing(db):
    add_token(db, "101", NOON)
    row = tokens.all(db)[0]

    assert tokens.person_of(db, row.id, NOON) is None
    assert tokens.person_of(db, row.token_hash, NOON) is None


def test_a_token_may_run_out(db):
    text = add_token(db, "101", NOON, NOON + HOUR)

    assert tokens.person_of(db, text, NOON + HOUR - 1)
    assert tokens.person_of(db, text, NOON + HOUR) is None


def test_a_token_ends_with_its_persons_time(db):
    text = add_token(db, "101", NOON)
    set_person(db, some_keys(), "101", NOON, until=NOON + HOUR)

    assert tokens.person_of(db, text, NOON + HOUR - 1)
    assert tokens.person_of(db, text, NOON + HOUR) is None


def test_a_token_does_not_come_back_with_a_person_who_left(db):
    text = add_token(db, "101", NOON)
    person_leaves(db, "101", NOON)
    set_person(db, some_keys(), "101", NOON, stays=True)

    assert tokens.person_of(db, text, NOON) is None


def test_a_token_holds_at_its_own_site_alone(db):
    text = add_token(db, "101", NOON)
    db.info["site"] = "Quarry"
    somebody(db, "101")

    assert tokens.person_of(db, text, NOON) is None
    assert list(tokens.all(db)) == []
    with pytest.raises(tokens.UnknownToken):
        revoke_token(db, text, NOON)


def test_the_use_of_a_token_is_noted_to_the_minute(db):
    row = tokens.find(db, add_token(db, "101", NOON), NOON)

    tokens.mark_used(row, NOON)
    tokens.mark_used(row, NOON + MINUTE - 1)

    assert row.used_at == NOON
