import pytest

from walkaround.rules import pin
from walkaround.rules.pin import BadPin, proper_pin


@pytest.mark.parametrize("taken", ["4821", "1357", "2468", "1984", "1122", "9012", "0000001"])
def test_four_digits_are_enough_for_everybody(taken):
    assert proper_pin(taken, "101") == taken


@pytest.mark.parametrize(
    ("refused", "why"),
    [
        ("", pin.PinNotDigits),
        ("482", pin.PinNotDigits),
        ("4821593748215", pin.PinNotDigits),
        ("48a1", pin.PinNotDigits),
        ("4821\n", pin.PinNotDigits),
        ("٤٨٢١", pin.PinNotDigits),
        ("0000", pin.PinRepeats),
        ("777777", pin.PinRepeats),
        ("1234", pin.PinRuns),
        ("0123456789", pin.PinRuns),
        ("4321", pin.PinRuns),
        ("9876", pin.PinRuns),
        ("4822", pin.PinIsCrewNumber),
    ],
)
def test_what_people_try_first_is_refused_with_the_reason(refused, why):
    with pytest.raises(why) as caught:
        proper_pin(refused, "4822")

    assert isinstance(caught.value, BadPin)
    assert "PIN" in str(caught.value)


def test_no_sentence_repeats_the_pin():
    with pytest.raises(BadPin) as caught:
        proper_pin("777777", "101")

    assert "777777" not in str(caught.value)
