import pytest

from tests.people import NOON, PIN, a_phone, fresh_db, some_keys, somebody
from walkaround.actions.person_leaves import person_leaves
from walkaround.actions.set_person import set_person
from walkaround.actions.shut_out_phone import shut_out_phone
from walkaround.actions.sign_in import sign_in
from walkaround.actions.sign_out import sign_out
from walkaround.rules.instant import HOUR, MINUTE
from walkaround.store import sessions
from walkaround.store.models.people import SessionRow


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


@pytest.fixture
def phone(db):
    somebody(db, "101")
    return a_phone(db)[0]


def start(db, phone, shift_end=None):
    return sign_in(db, some_keys(), phone, "101", PIN, None, NOON, shift_end).session_secret


def test_a_session_is_found_with_its_person(db, phone):
    session, person = sessions.find(db, start(db, phone), NOON)

    assert (session.phone, session.started_at, session.proved_at) == (phone, NOON, NOON)
    assert person.crew_number == "101"


@pytest.mark.parametrize("secret", ["", "x" * 43, "\x00"])
def test_nothing_else_finds_one(db, phone, secret):
    start(db, phone)

    assert sessions.find(db, secret, NOON) is None


def test_what_is_kept_opens_no_session(db, phone):
    secret = start(db, phone)
    row = db.query(SessionRow).one()

    assert secret not in row.id_hash
    assert sessions.find(db, row.id_hash, NOON) is None


@pytest.mark.parametrize(
    ("shift_end", "hours"), [(None, 12), (NOON + 3 * HOUR, 3), (NOON + 20 * HOUR, 12)]
)
def test_a_session_ends_with_the_shift_and_after_twelve_hours_anyway(db, phone, shift_end, hours):
    secret = start(db, phone, shift_end)

    assert sessions.find(db, secret, NOON + hours * HOUR - 1)
    assert sessions.find(db, secret, NOON + hours * HOUR) is None


ENDINGS = {
    "sign-out": lambda db, phone, secret: sign_out(db, secret),
    "shut out": lambda db, phone, secret: shut_out_phone(db, phone, NOON),
    "leaving": lambda db, phone, secret: person_leaves(db, "101", NOON),
    "a new PIN": lambda db, phone, secret: set_person(db, some_keys(), "101", NOON, pin="9517"),
    "a new role": lambda db, p, s: set_person(db, some_keys(), "101", NOON, roles=["mechanic"]),
    "a date in the past": lambda db, p, s: set_person(db, some_keys(), "101", NOON, until=NOON),
}


@pytest.mark.parametrize("ending", ENDINGS)
def test_whatever_ends_a_session_ends_it_at_once(db, phone, ending):
    secret = start(db, phone)

    ENDINGS[ending](db, phone, secret)

    assert sessions.find(db, secret, NOON) is None


def test_a_phone_found_shut_out_ends_a_session_whose_row_is_left(db, phone):
    secret = start(db, phone)
    shut_out_phone(db, phone, NOON)
    db.add(SessionRow(**OLD, id_hash=sessions.secrets.fingerprint(secret), phone=phone))
    db.commit()

    assert sessions.find(db, secret, NOON) is None


OLD = {
    "site": "Gravel pit",
    "crew_number": "101",
    "started_at": NOON,
    "proved_at": NOON,
    "ends_at": NOON + HOUR,
}


def test_a_session_ends_on_the_day_that_was_set_for_leaving(db, phone):
    secret = start(db, phone)
    set_person(db, some_keys(), "101", NOON, until=NOON + HOUR)

    assert sessions.find(db, secret, NOON + HOUR - 1)
    assert sessions.find(db, secret, NOON + HOUR) is None


def test_a_session_holds_at_its_own_site_alone(db, phone):
    secret = start(db, phone)
    db.info["site"] = "Quarry"
    somebody(db, "101")

    assert sessions.find(db, secret, NOON) is None


def test_a_new_name_ends_nothing(db, phone):
    secret = start(db, phone)

    set_person(db, some_keys(), "101", NOON, name="Somebody Else", roles=["operator"])

    assert sessions.find(db, secret, NOON)


def test_what_has_ended_is_swept_away_at_the_next_sign_in(db, phone):
    start(db, phone, NOON + HOUR)

    sign_in(db, some_keys(), phone, "101", PIN, None, NOON + HOUR, None)

    assert [row.started_at for row in db.query(SessionRow)] == [NOON + HOUR]


@pytest.mark.parametrize(
    ("later", "proved"), [(0, True), (5 * MINUTE - 1, True), (5 * MINUTE, False), (-1, False)]
)
def test_a_proof_lasts_five_minutes(db, phone, later, proved):
    session, _ = sessions.find(db, start(db, phone), NOON)

    assert sessions.proved_within(session, NOON + later) is proved
