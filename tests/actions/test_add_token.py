import pytest

from tests.people import NOON, fresh_db, somebody
from walkaround.actions.add_token import add_token
from walkaround.actions.person_leaves import person_leaves
from walkaround.rules.person import PersonLeft, UnknownPerson
from walkaround.store.models.people import TokenRow


@pytest.fixture
def db():
    with fresh_db() as db:
        somebody(db, "101")
        yield db


def test_a_token_has_256_bits_and_says_what_it_is(db):
    text = add_token(db, "101", NOON)

    assert text.startswith("wk_")
    assert len(text) == 3 + 43  # 256 bits, six to a character
    assert text != add_token(db, "101", NOON)


def test_only_a_fingerprint_of_the_token_is_kept(db):
    text = add_token(db, "101", NOON)
    row = db.query(TokenRow).one()

    values = [str(getattr(row, column.key)) for column in TokenRow.__table__.columns]
    assert not [value for value in values if text.removeprefix("wk_") in value]


def test_nobody_who_is_not_here_gets_a_token(db):
    person_leaves(db, "101", NOON)

    with pytest.raises(PersonLeft):
        add_token(db, "101", NOON)
    with pytest.raises(UnknownPerson):
        add_token(db, "999", NOON)

    assert db.query(TokenRow).count() == 0
