import pytest

from tests.people import NOON, fresh_db
from walkaround.actions.add_phone import add_phone
from walkaround.rules.person import BadName
from walkaround.store import phones
from walkaround.store.models.people import PhoneRow


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


def test_a_code_has_128_bits_and_none_is_like_another(db):
    codes = {add_phone(db, None, NOON) for _ in range(50)}

    assert len(codes) == 50
    assert {len(code) for code in codes} == {22}  # 128 bits, six to a character


def test_only_a_fingerprint_of_the_code_is_kept(db):
    code = add_phone(db, "Gate", NOON)
    row = db.query(PhoneRow).one()

    values = [str(getattr(row, column.key)) for column in PhoneRow.__table__.columns]
    assert not [value for value in values if code in value]


def test_a_phone_without_a_name_gets_a_number(db):
    codes = [add_phone(db, name, NOON) for name in (None, "Gate", "")]

    assert [phones.waiting(db, code, NOON).name for code in codes] == ["1", "Gate", "3"]


def test_a_name_without_letters_is_refused(db):
    with pytest.raises(BadName):
        add_phone(db, " \x07 ", NOON)
