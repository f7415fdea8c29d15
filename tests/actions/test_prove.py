import pytest

from tests.people import NOON, PIN, a_phone, fresh_db, some_keys, somebody
from walkaround.actions.prove import prove
from walkaround.actions.sign_in import sign_in
from walkaround.rules.instant import HOUR, MINUTE
from walkaround.store import sessions

LATER = NOON + 6 * MINUTE


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


@pytest.fixture
def secret(db):
    somebody(db, "101")
    phone, _ = a_phone(db)
    return sign_in(db, some_keys(), phone, "101", PIN, None, NOON, NOON + HOUR).session_secret


def test_a_session_counts_as_proved_from_now_on(db, secret):
    new = prove(db, secret, LATER)

    session, person = sessions.find(db, new, LATER)
    assert (session.proved_at, person.crew_number) == (LATER, "101")


def test_it_ends_when_it_would_have_ended(db, secret):
    new = prove(db, secret, LATER)

    assert sessions.find(db, new, NOON + HOUR) is None


def test_a_copy_of_the_old_cookie_opens_nothing(db, secret):
    # OWASP ASVS 5.0, 7.2.4: a new session token at each authentication, also a repeated one
    prove(db, secret, LATER)

    assert sessions.find(db, secret, LATER) is None


def test_what_has_ended_is_not_proved(db, secret):
    sessions.end(db, secret)

    assert prove(db, secret, LATER) is None
