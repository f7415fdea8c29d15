from tests import make
from walkaround.rules.instant import HOUR
from walkaround.rules.setting import SiteRules
from walkaround.rules.shift import Roster
from walkaround.rules.shift_choice import choices


def starts(times: str, minutes: float) -> list[int]:
    """Return the shifts offered so many minutes after 06:00 in Madrid, in minutes after it."""
    site = SiteRules(Roster.of([(0, "Europe/Madrid", times)]))
    return [(shift.start - make.DAWN) // 60_000 for shift in choices(site, make.at(minutes))]


def test_in_the_middle_of_a_shift_a_walk_is_for_it():
    assert starts("06:00,14:00,22:00", 120) == [0]


def test_near_its_end_the_coming_shift_is_offered_first():
    assert starts("06:00,14:00,22:00", -30) == [0, -480]
    assert starts("06:00,14:00,22:00", -61) == [-480]


def test_where_no_shift_is_on_only_the_coming_one_is_offered():
    assert starts("06:00-16:00", -30) == [0]


def test_far_from_any_shift_there_is_none():
    assert starts("06:00-16:00", 12 * HOUR / 60_000) == []
