import pytest

from tests.people import NOON, PIN, a_phone, fresh_db, some_keys, somebody
from walkaround.actions.sign_in import sign_in
from walkaround.actions.sign_out import sign_out
from walkaround.store import sessions


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


def test_a_copy_of_the_cookie_opens_nothing_after_sign_out(db):
    somebody(db, "101")
    phone, _ = a_phone(db)
    mine, other = (
        sign_in(db, some_keys(), phone, "101", PIN, None, NOON, None).session_secret
        for _ in range(2)
    )

    sign_out(db, mine)

    assert sessions.find(db, mine, NOON) is None
    assert sessions.find(db, other, NOON)


def test_signing_out_twice_is_no_fault(db):
    sign_out(db, "nobody's")
    sign_out(db, "nobody's")

    assert sessions.find(db, "nobody's", NOON) is None
