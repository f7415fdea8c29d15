import pytest

from walkaround.rules.instant import HOUR
from walkaround.rules.reading import strange


@pytest.mark.parametrize(
    ("value", "why"),
    [(84.0, None), (83.9, "lower"), (92.0, None), (93.0, None), (93.1, "faster"), (0.0, "lower")],
)
def test_a_reading_goes_up_by_no_more_than_the_hours_that_passed_and_one(value, why):
    assert strange(value, 84.0, 0, 8 * HOUR) == why


def test_a_first_reading_is_taken_as_it_is():
    assert strange(12345.6, None, 0, HOUR) is None


def test_a_last_reading_that_a_wrong_clock_put_ahead_leaves_the_allowance():
    assert strange(85.0, 84.0, 9 * HOUR, HOUR) is None
    assert strange(85.1, 84.0, 9 * HOUR, HOUR) == "faster"
