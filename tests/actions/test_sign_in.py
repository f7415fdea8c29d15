import pytest

from tests.people import NOON, PIN, a_phone, fresh_db, some_keys, somebody
from walkaround.actions.set_person import set_person
from walkaround.actions.shut_out_phone import shut_out_phone
from walkaround.actions.sign_in import NotSignedIn, sign_in
from walkaround.rules.instant import HOUR, MINUTE
from walkaround.store import phones, pins, sessions
from walkaround.store.models.people import SessionRow


@pytest.fixture
def db():
    with fresh_db() as db:
        somebody(db, "101", "mechanic")
        yield db


@pytest.fixture
def phone(db):
    return a_phone(db)[0]


def enter(db, phone, number="101", pin=PIN, now=NOON, **more):
    return sign_in(db, some_keys(), phone, number, pin, "192.0.2.1", now, None, **more)


def test_somebody_signs_in_with_number_and_pin(db, phone):
    signed_in = enter(db, phone)

    assert (signed_in.person.crew_number, signed_in.person.roles) == ("101", ("mechanic",))
    assert sessions.find(db, signed_in.session_secret, NOON)


def test_the_roles_are_those_of_now(db, phone):
    set_person(db, some_keys(), "101", NOON + HOUR, roles=["supervisor"])

    assert enter(db, phone, now=NOON + HOUR).person.roles == ("supervisor",)


def test_every_sign_in_makes_a_new_secret_of_256_bits(db, phone):
    first, second = enter(db, phone).session_secret, enter(db, phone).session_secret

    assert first != second
    assert len(first) == len(second) == 43  # 256 bits, six to a character


def test_the_session_before_it_ends_with_it(db, phone):
    before = enter(db, phone).session_secret

    after = enter(db, phone, previous=before).session_secret

    assert sessions.find(db, before, NOON) is None
    assert sessions.find(db, after, NOON)


def test_a_session_elsewhere_goes_on(db, phone):
    here, there = enter(db, phone), enter(db, a_phone(db)[0])

    assert sessions.find(db, here.session_secret, NOON)
    assert sessions.find(db, there.session_secret, NOON)


def test_all_reasons_have_one_look(db, phone):
    somebody(db, "102", until=NOON)
    tries = [
        (phone, "101", "95172846"),
        (phone, "999", PIN),
        (phone, "102", PIN),
        (phone, "101", ""),
        (None, "101", PIN),
        ("no phone", "101", PIN),
    ]

    looks = set()
    for place, number, pin in tries:
        with pytest.raises(NotSignedIn) as caught:
            enter(db, place, number, pin)
        looks.add(str(caught.value))

    assert len(looks) == 1
    assert "PIN do not fit together" in looks.pop()


def test_no_session_begins_for_whom_nothing_fits(db, phone):
    with pytest.raises(NotSignedIn):
        enter(db, phone, pin="95172846")

    assert db.query(SessionRow).count() == 0


def test_a_phone_that_is_shut_out_meanwhile_gets_no_session(db, phone, monkeypatch):
    matches = pins.matches

    def meanwhile(*args):
        shut_out_phone(db, phone, NOON)
        return matches(*args)

    monkeypatch.setattr(pins, "matches", meanwhile)

    with pytest.raises(NotSignedIn):
        enter(db, phone)


def test_the_phone_was_heard_from(db, phone):
    enter(db, phone, now=NOON + HOUR)

    assert phones.by_id(db, phone).seen_at == NOON + HOUR


def test_who_has_to_come_again_is_told_so(db, phone, monkeypatch):
    def no_place():
        raise pins.TooBusy

    monkeypatch.setattr(pins, "turn", no_place)

    with pytest.raises(pins.TooBusy):
        enter(db, phone)


def test_a_new_proof_is_a_new_sign_in(db, phone):
    before = enter(db, phone).session_secret

    after = enter(db, phone, now=NOON + 6 * MINUTE, previous=before).session_secret

    session, _ = sessions.find(db, after, NOON + 6 * MINUTE)
    assert sessions.proved_within(session, NOON + 6 * MINUTE)
