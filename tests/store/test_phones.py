import pytest

from tests.people import NOON, a_phone, fresh_db
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.actions.shut_out_phone import shut_out_phone
from walkaround.rules.instant import MINUTE, SECOND
from walkaround.store import phones


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


def test_a_phone_is_found_by_its_cookie(db):
    phone_id, secret = a_phone(db)

    assert phones.find(db, secret).id == phone_id
    assert phones.find(db, phone_id) is None
    assert phones.find(db, "") is None


def test_a_phone_that_was_shut_out_is_not_found_but_still_known(db):
    phone_id, secret = a_phone(db)
    shut_out_phone(db, phone_id, NOON)

    assert phones.find(db, secret) is None
    assert phones.by_id(db, phone_id).shut_out_at == NOON
    assert [row.id for row in phones.all(db)] == [phone_id]


def test_another_site_has_phones_of_its_own(db):
    phone_id, secret = a_phone(db)
    code = add_phone(db, None, NOON)
    db.info["site"] = "Quarry"

    assert phones.find(db, secret) is None
    assert phones.by_id(db, phone_id) is None
    assert list(phones.all(db)) == []
    with pytest.raises(phones.CodeUnknown):
        phones.waiting(db, code, NOON)


def test_a_page_may_look_at_a_code_without_using_it_up(db):
    code = add_phone(db, "Gate", NOON)

    names = {phones.waiting(db, code, NOON).name for _ in range(3)}

    assert names == {"Gate"}


def test_a_page_sees_that_a_code_was_used(db):
    code = add_phone(db, "Gate", NOON)
    enrol_phone(db, code, NOON)

    with pytest.raises(phones.CodeUsed):
        phones.waiting(db, code, NOON)


def test_a_phone_that_waits_for_its_browser_is_not_listed(db):
    add_phone(db, "Gate", NOON)

    assert list(phones.all(db)) == []
    assert phones.count(db) == 1


def test_phones_say_when_they_were_heard_from_to_the_minute(db):
    phone_id, _ = a_phone(db)
    row = phones.by_id(db, phone_id)

    phones.mark_seen(row, NOON + 59 * SECOND)
    soon = row.seen_at
    phones.mark_seen(row, NOON + MINUTE)

    assert (soon, row.seen_at) == (NOON, NOON + MINUTE)
