"""Settings with their dates."""

import pytest

from tests import books, make
from walkaround.rules.instant import MINUTE
from walkaround.rules.setting import Dated, SiteRules

HELD = Dated(((0, "first"), (100, "second"), (200, "third")))


@pytest.mark.parametrize(
    ("instant", "value"),
    [
        (-5, "first"),
        (0, "first"),
        (99, "first"),
        (100, "second"),
        (199, "second"),
        (10**12, "third"),
    ],
)
def test_a_value_holds_from_its_date_and_the_first_from_the_beginning(instant, value):
    assert HELD.at(instant) == value


def test_the_first_holds_from_the_beginning_whenever_it_was_set():
    assert Dated(((500, "only"),)).at(3) == "only"


def test_the_early_allowance_is_an_hour_unless_set():
    assert books.SITE.early(make.DAWN) == 60 * MINUTE
    assert SiteRules(books.SITE.roster, ((0, 5),)).early(make.DAWN) == 5
