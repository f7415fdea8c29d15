import pytest

from walkaround.rules.late import AGAIN, BEFORE, Repair, late

FIRST = Repair("first", seq=10, made_at=1_000, by="201")
SECOND = Repair("second", seq=20, made_at=2_000, by="201")


def test_without_a_repair_nothing_is_late():
    assert late(500, 3, []) is None


def test_what_was_seen_before_a_repair_says_so():
    found = late(900, 9, [FIRST])

    assert (found.how, found.repair) == (BEFORE, FIRST)


@pytest.mark.parametrize("seen", [10, 11])
def test_who_had_the_repair_before_them_found_it_again(seen):
    assert late(900, seen, [FIRST]).how == AGAIN


def test_without_knowing_what_was_seen_it_was_found_again():
    assert late(900, None, [FIRST]).how == AGAIN


def test_what_was_found_after_the_repair_was_found_again_even_if_it_was_not_known():
    # a phone without a signal: the last entry it had is old, but the machine was repaired already
    assert late(1_001, 3, [FIRST]).how == AGAIN


def test_found_again_names_the_last_repair():
    assert late(2_500, 20, [SECOND, FIRST]).repair == SECOND


def test_between_two_repairs_the_second_was_not_known():
    found = late(1_500, 12, [FIRST, SECOND])

    assert (found.how, found.repair) == (BEFORE, SECOND)
