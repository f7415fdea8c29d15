import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkaround.rules import pace
from walkaround.rules.instant import DAY, MINUTE, SECOND
from walkaround.rules.pace import ADDRESS, PERSON, PERSON_ON_PHONE, PHONE, Count

PACES = [PERSON_ON_PHONE, PERSON, PHONE, ADDRESS]

paces = st.sampled_from(PACES)
instants = st.integers(0, 4 * 10**12)
failures = st.integers(0, 500)


@pytest.mark.parametrize(
    ("failed", "seconds"),
    [(0, 0), (1, 0), (2, 0), (3, 1), (4, 2), (5, 4), (6, 8), (12, 512), (13, 900), (19, 900)],
)
def test_from_the_third_failure_on_the_wait_doubles_up_to_a_quarter_of_an_hour(failed, seconds):
    assert pace.wait(PERSON_ON_PHONE, failed) == seconds * SECOND


@given(paces, failures)
def test_one_more_failure_never_shortens_the_wait(kind, failed):
    assert pace.wait(kind, failed) <= pace.wait(kind, failed + 1) <= kind.longest


def test_a_vast_number_of_failures_is_no_burden():
    assert pace.wait(PHONE, 10**12) == MINUTE


@given(paces, failures, instants, st.integers(0, DAY))
def test_a_try_is_open_exactly_when_its_wait_is_over(kind, failed, failed_at, later):
    count = Count(failed, failed_at)
    left = pace.standing(kind, count, failed_at + later)
    closed = kind.closes_at is not None and left >= kind.closes_at

    is_open = pace.open_at(kind, count, failed_at + later)

    assert is_open == (not closed and later >= pace.wait(kind, left))


@given(failures.filter(lambda number: number >= 20), instants, instants)
def test_after_twenty_failures_on_a_phone_time_alone_opens_nothing(failed, failed_at, now):
    assert not pace.open_at(PERSON_ON_PHONE, Count(failed, failed_at), now)


@given(paces, instants, st.integers(1, DAY))
def test_a_clock_set_back_keeps_nobody_waiting(kind, failed_at, back):
    assert pace.open_at(kind, Count(19, failed_at), failed_at - back)


@pytest.mark.parametrize("kind", [PHONE, ADDRESS])
def test_places_forget_so_that_honest_mistakes_do_not_add_up_for_ever(kind):
    assert pace.standing(kind, Count(100, 0), DAY) == 0


def test_people_are_not_forgotten():
    assert pace.standing(PERSON_ON_PHONE, Count(7, 0), 1000 * DAY) == 7


def guesses(kind, span):
    """Count how many tries somebody gets who tries again as soon as it is open."""
    count, now, tried = Count(0, 0), 0, 0
    while now < span and tried < 10_000:
        if pace.open_at(kind, count, now):
            count, tried = pace.after_failure(kind, count, now), tried + 1
        now += SECOND
    return tried


def test_one_person_is_guessed_at_twenty_times_on_a_phone_however_long_it_goes_on():
    assert guesses(PERSON_ON_PHONE, DAY) == 20


def test_one_person_is_never_guessed_at_more_than_a_hundred_times_in_a_row():
    most = 100  # NIST SP 800-63B, section 5.2.2 (the figure from memory)

    assert guesses(PERSON, DAY) == 50 <= most


def test_a_whole_crew_that_mistypes_behind_one_address_is_not_slowed():
    count = None
    for _ in range(80):  # forty people, twice each, in the same second
        count = pace.after_failure(ADDRESS, count, 0)

    assert pace.open_at(ADDRESS, count, 0)


def test_who_sprays_pins_from_one_phone_gets_about_one_a_minute():
    first_hour = guesses(PHONE, 60 * MINUTE)

    assert first_hour < 20 + 60 + 10
