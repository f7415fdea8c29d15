"""What an item's limits make of an answer (design, section 3: Adding)."""

import pytest

from tests import books, make
from walkaround.rules import answer
from walkaround.rules.answer import Failure


def failed(**given) -> list[str]:
    """Return the items of a walk-around that fail."""
    return [one.item for one in answer.failures(books.walk(**given).body, books.START)]


def left_out(answers: list[dict]) -> tuple[str, ...]:
    """Return the items that these answers tell nothing about."""
    body = {**make.walkaround(), "answers": answers}
    return answer.missing(books.entry("walkaround", body).body, books.START)


@pytest.mark.parametrize(
    ("item", "given", "fails"),
    [
        ("tyre", "in_order", False),
        ("tyre", "defect", True),
        ("tyre", "no_worse", True),
        ("tyre", "not_fitted", True),
        ("tyre", "could_not_check", False),
        ("tyre", 7.0, False),
        ("coupler", "not_fitted", False),
        ("coupler", "defect", True),
        ("pressure", 299.999, True),
        ("pressure", 300, False),
        ("pressure", 380, False),
        ("pressure", 380.001, True),
        ("pressure", "could_not_check", False),
        ("pressure", "not_fitted", True),
        ("pressure", "defect", True),
    ],
)
def test_what_fails(item, given, fails):
    assert failed(**{item: given}) == ([item] if fails else [])


@pytest.mark.parametrize(
    ("item", "given", "told"),
    [
        ("tyre", "in_order", True),
        ("tyre", "defect", True),
        ("tyre", "no_worse", True),
        ("tyre", "not_fitted", True),
        ("tyre", "could_not_check", False),
        ("tyre", 7.0, False),
        ("pressure", 340, True),
        ("pressure", 3, True),
        ("pressure", "not_fitted", True),
        ("pressure", "in_order", False),
        ("pressure", "defect", False),
        ("pressure", "no_worse", False),
        ("pressure", "could_not_check", False),
    ],
)
def test_which_answer_tells_the_state_of_an_item(item, given, told):
    rest = [make.answer(name, good) for name, good in make.GOOD.items() if name != item]

    assert left_out([*rest, make.answer(item, given)]) == (() if told else (item,))


@pytest.mark.parametrize("order", [1, -1])
def test_an_item_answered_twice_fails_if_either_answer_does(order):
    twice = [make.answer("seat", "in_order"), make.answer("seat", "defect")][::order]
    walk = books.entry("walkaround", {**make.walkaround(), "answers": twice})

    found = answer.failures(walk.body, books.START)

    assert [one.item for one in found] == ["seat"]


@pytest.mark.parametrize("order", [1, -1])
def test_an_item_that_could_once_not_be_checked_is_left_out(order):
    twice = [make.answer("seat", "in_order"), make.answer("seat", "could_not_check")][::order]

    assert "seat" in left_out(twice)


def test_without_a_list_words_alone_can_fail_and_nothing_is_optional():
    walk = books.walk(pressure=7, horn="defect")

    assert [one.item for one in answer.failures(walk.body, None)] == ["coupler", "horn"]


def low(value: float | None, *, item: str = "pressure", unit: str | None = "kPa") -> Failure:
    return Failure(item, value=value, low=300, high=380, unit=unit)


@pytest.mark.parametrize(
    ("found", "base", "covered"),
    [
        (low(290), low(290), True),
        (low(290), low(280), True),
        (low(290), low(291), False),
        (low(390), low(390), True),
        (low(390), low(400), True),
        (low(390), low(389), False),
        (low(290), low(400), False),
        (low(390), low(200), False),
        (low(290), low(None), False),
        (low(290), low(2.9, unit="bar"), False),
        (low(290), low(280, item="other"), False),
        (low(None), low(280), True),
        (low(None), low(None), True),
    ],
)
def test_no_worse_is_the_same_side_and_at_least_as_far(found, base, covered):
    assert found.no_worse_than(base) is covered


def test_what_failed_in_two_ways_is_no_longer_no_worse():
    than = (make.entry("x", {})["id"],)
    one, other = Failure("seat", answer="no_worse", than=than), Failure("seat", answer="defect")

    assert one.united(other).than == ()
    assert other.united(one).than == ()
    assert one.united(one).than == than
