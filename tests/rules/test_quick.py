import pytest

from walkaround.rules.instant import MINUTE
from walkaround.rules.quick import is_quick


@pytest.mark.parametrize(
    ("took", "guide", "quick"),
    [(3.9, 8, True), (4, 8, False), (8, 8, False), (0, 1, True), (0, None, False)],
)
def test_less_than_half_of_the_guide_is_quick(took: float, guide: int | None, quick: bool):
    started_at = 1_000_000

    assert is_quick(started_at, started_at + round(took * MINUTE), guide) is quick
