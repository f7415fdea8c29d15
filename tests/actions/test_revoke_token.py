import pytest

from tests.people import NOON, fresh_db, somebody
from walkaround.actions.add_token import add_token
from walkaround.actions.revoke_token import revoke_token
from walkaround.store import tokens
from walkaround.store.tokens import UnknownToken


@pytest.fixture
def db():
    with fresh_db() as db:
        somebody(db, "101")
        yield db


@pytest.mark.parametrize("by", ["its id", "itself"])
def test_a_token_is_revoked_by_its_id_or_itself(db, by):
    text, other = add_token(db, "101", NOON), add_token(db, "101", NOON)
    token_id = tokens.find(db, text, NOON).id

    revoked = revoke_token(db, token_id if by == "its id" else text, NOON)

    assert revoked == token_id
    assert tokens.find(db, text, NOON) is None
    assert tokens.find(db, other, NOON)


def test_a_token_that_is_not_there_or_was_revoked_is_refused(db):
    text = add_token(db, "101", NOON)
    revoke_token(db, text, NOON)

    with pytest.raises(UnknownToken, match="no such token here"):
        revoke_token(db, text, NOON)
    with pytest.raises(UnknownToken):
        revoke_token(db, "wk_nothing", NOON)
