import pytest
from sqlalchemy.exc import IntegrityError

from tests.people import NOON, fresh_db
from walkaround.rules.instant import HOUR
from walkaround.store import labels
from walkaround.store.db import make_session
from walkaround.store.labels import NoLabel
from walkaround.store.models import LabelRow


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


def test_a_token_has_128_random_bits_as_owasp_asvs_11_5_1_asks():
    assert len(labels.ALPHABET) ** labels.LENGTH >= 2**128


def test_a_token_is_plain_letters_and_digits_that_nobody_mistakes(db):
    tokens = {labels.make(db, "L07", NOON) for _ in range(200)}

    assert len(tokens) == 200
    assert {len(token) for token in tokens} == {labels.LENGTH}
    assert all(token.isascii() and token.isalnum() for token in tokens)
    assert not set("0OIl1") & set("".join(tokens))


def test_the_label_in_force_is_the_one_made_last(db):
    labels.make(db, "L07", NOON)
    last = labels.make(db, "L07", NOON + HOUR)
    labels.make(db, "T11", NOON)

    assert labels.current(db, "L07") == last


def test_an_older_token_is_still_found_and_says_since_when_it_is_out(db):
    old = labels.make(db, "L07", NOON)
    labels.make(db, "L07", NOON + HOUR)

    found = labels.find(db, old)

    assert (found.unit, found.made_at, found.replaced_at) == ("L07", NOON, NOON + HOUR)


@pytest.mark.parametrize("token", ["", "x", "\x00", "x" * 500])
def test_any_other_token_is_not_found(db, token):
    labels.make(db, "L07", NOON)

    assert labels.find(db, token) is None


def test_a_unit_that_never_got_a_label_is_named(db):
    with pytest.raises(NoLabel, match="L07"):
        labels.current(db, "L07")


def test_the_label_of_another_site_is_not_found(db):
    token = labels.make(db, "L07", NOON)
    db.commit()

    with make_session(db.get_bind().engine, "Quarry") as other:
        assert labels.find(other, token) is None
        with pytest.raises(NoLabel):
            labels.current(other, "L07")


def test_the_tables_hold_no_two_labels_in_force_for_one_unit(db):
    labels.make(db, "L07", NOON)
    db.add(LabelRow(site=db.info["site"], token="b", unit="L07", made_at=NOON, replaced_at=None))

    with pytest.raises(IntegrityError):
        db.flush()
