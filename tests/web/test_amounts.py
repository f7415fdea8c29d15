import pytest

from walkaround.web.amounts import amount


@pytest.mark.parametrize(
    ("typed", "value"),
    [("84", 84.0), ("84.5", 84.5), ("84,5", 84.5), (" 4 212 ", 4212.0), ("-3", -3.0), ("0", 0.0)],
)
def test_numbers_are_read_with_a_point_or_a_comma(typed, value):
    assert amount(typed) == value


@pytest.mark.parametrize("typed", ["", "x", "1.2.3", "1e5", "nan", "inf", "4.212,5", "٣", "9" * 13])
def test_what_is_no_plain_number_is_not_taken(typed):
    with pytest.raises(ValueError, match="not a number"):
        amount(typed)
