from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.people import ENGINES, NOON, SITE, address, fresh_db
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.actions.shut_out_phone import shut_out_phone
from walkaround.rules.instant import MINUTE
from walkaround.store import phones
from walkaround.store.db import make_session
from walkaround.store.models.people import PhoneRow


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


def test_a_code_enrols_the_browser_that_brings_it(db):
    code = add_phone(db, "Gate", NOON)

    phone_id, secret = enrol_phone(db, code, NOON + MINUTE)

    row = phones.find(db, secret)
    assert (row.id, row.name, row.enrolled_at) == (phone_id, "Gate", NOON + MINUTE)
    assert secret not in row.secret_hash


def test_a_code_is_good_once(db):
    code = add_phone(db, None, NOON)
    phone_id, secret = enrol_phone(db, code, NOON)

    with pytest.raises(phones.CodeUsed) as caught:
        enrol_phone(db, code, NOON)

    assert caught.value.reason == "used"
    assert phones.find(db, secret).id == phone_id


def test_a_code_is_good_for_less_than_ten_minutes(db):
    early, late = add_phone(db, None, NOON), add_phone(db, None, NOON)

    enrol_phone(db, early, NOON + 10 * MINUTE - 1)

    with pytest.raises(phones.CodeExpired, match="more than ten minutes old") as caught:
        enrol_phone(db, late, NOON + 10 * MINUTE)
    assert caught.value.reason == "expired"


@pytest.mark.parametrize("code", ["", "x" * 22, "\x00", "é"])
def test_an_unknown_code_enrols_nothing(db, code):
    add_phone(db, None, NOON)

    with pytest.raises(phones.CodeUnknown) as caught:
        enrol_phone(db, code, NOON)

    assert isinstance(caught.value, phones.CodeOver)
    assert caught.value.reason == "unknown"


def test_a_code_that_was_shut_out_before_its_use_enrols_nothing(db):
    code = add_phone(db, None, NOON)
    shut_out_phone(db, phones.waiting(db, code, NOON).id, NOON)

    with pytest.raises(phones.CodeUnknown):
        enrol_phone(db, code, NOON)


@pytest.mark.parametrize("engine", ENGINES)
def test_of_many_browsers_with_one_link_one_is_enrolled(engine, request):
    with fresh_db(address(engine, request)) as db:
        code, bind = add_phone(db, None, NOON), db.get_bind()

        def enrol(_):
            with make_session(bind, SITE) as own:
                try:
                    return enrol_phone(own, code, NOON)[1]
                except phones.CodeUsed:
                    return None

        with ThreadPoolExecutor(8) as threads:
            (secret,) = filter(None, threads.map(enrol, range(8)))

        assert phones.find(db, secret).id == db.query(PhoneRow).one().id
