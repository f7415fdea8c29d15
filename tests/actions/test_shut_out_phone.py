import pytest

from tests.people import NOON, PIN, a_phone, fresh_db, some_keys, somebody
from walkaround.actions.shut_out_phone import shut_out_phone
from walkaround.actions.sign_in import NotSignedIn, sign_in
from walkaround.rules.instant import HOUR
from walkaround.store import phones, sessions


@pytest.fixture
def db():
    with fresh_db() as db:
        somebody(db, "101")
        yield db


def enter(db, phone):
    return sign_in(db, some_keys(), phone, "101", PIN, None, NOON, None).session_secret


def test_a_phone_that_is_shut_out_signs_nobody_in_and_keeps_nobody_in(db):
    (lost, _), (kept, _) = a_phone(db), a_phone(db)
    on_lost, on_kept = enter(db, lost), enter(db, kept)

    shut_out_phone(db, lost, NOON)

    assert sessions.find(db, on_lost, NOON) is None
    assert sessions.find(db, on_kept, NOON)
    with pytest.raises(NotSignedIn):
        enter(db, lost)


def test_shutting_out_twice_keeps_the_first_instant(db):
    phone, _ = a_phone(db)

    shut_out_phone(db, phone, NOON)
    shut_out_phone(db, phone, NOON + HOUR)

    assert phones.by_id(db, phone).shut_out_at == NOON


def test_an_unknown_phone_is_named(db):
    with pytest.raises(phones.UnknownPhone, match="no phone somewhere here"):
        shut_out_phone(db, "somewhere", NOON)
