"""Which PINs are taken.

Four digits are enough for every role, because a PIN alone opens nothing: it counts only on an
enrolled phone, and guesses are slowed and then stopped. What is refused is only what people try
first: one digit repeated, a straight run, and the crew number. Years and patterns on the keypad
are taken: each such list costs somebody a PIN that they remember, and a person who cannot keep a
PIN in mind paints it on the phone.
"""

import re

from walkaround.rules.refusal import N_, Refusal

SHORTEST, LONGEST = 4, 12

_DIGITS = re.compile(r"[0-9]+")
_UP, _DOWN = "0123456789", "9876543210"


class BadPin(Refusal):
    """This PIN is not taken; its subclasses say why."""


class PinNotDigits(BadPin):
    sentence = N_("A PIN is %(shortest)s to %(longest)s digits and nothing else.")


class PinRepeats(BadPin):
    sentence = N_("This PIN is one digit repeated, which is tried first: choose another one.")


class PinRuns(BadPin):
    sentence = N_("This PIN is a run like 1234 or 4321, which is tried first: choose another one.")


class PinIsCrewNumber(BadPin):
    sentence = N_("The PIN must differ from the crew number, which everybody can read.")


def proper_pin(pin: str, crew_number: str) -> str:
    """Return the PIN if it is taken for this person; raise the BadPin that says why not."""
    if not _DIGITS.fullmatch(pin) or not SHORTEST <= len(pin) <= LONGEST:
        raise PinNotDigits(shortest=SHORTEST, longest=LONGEST)
    if len(set(pin)) == 1:
        raise PinRepeats
    if pin in _UP or pin in _DOWN:
        raise PinRuns
    if pin == crew_number:
        raise PinIsCrewNumber
    return pin
