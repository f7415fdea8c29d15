import pytest

from tests.people import fresh_db
from walkaround.store import settings, snapshot

SITE = "Gravel pit"


def counting(numbers: list[int]) -> int:
    numbers.append(len(numbers))
    return numbers[-1]


@pytest.fixture
def session():
    with fresh_db() as db:
        db.info["site"] = SITE
        yield db


def test_a_transaction_reads_a_thing_once(session):
    read: list[int] = []
    settings.value(session, "zone")

    found = [snapshot.once(session, "n", lambda: counting(read)) for _ in range(3)]

    assert found == [0, 0, 0]


def test_the_next_transaction_reads_it_again(session):
    read: list[int] = []
    settings.value(session, "zone")
    snapshot.once(session, "n", lambda: counting(read))

    session.rollback()
    settings.value(session, "zone")

    assert snapshot.once(session, "n", lambda: counting(read)) == 1


def test_what_is_forgotten_is_read_again(session):
    read: list[int] = []
    settings.value(session, "zone")
    snapshot.once(session, "n", lambda: counting(read))

    snapshot.forget(session)

    assert snapshot.once(session, "n", lambda: counting(read)) == 1
