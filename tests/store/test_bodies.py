"""The canonical text against the standard's own examples.

RFC 8785 (JSON Canonicalization Scheme): the numbers of appendix B, the sorting example of section
3.2.3 and the literals of section 3.2.2; test data as published beside it
(github.com/cyberphone/json-canonicalization, testdata).
"""

import struct

import pytest

from walkaround.store import bodies
from walkaround.store.bodies import Unreadable, keepable, odd

NUMBERS = {  # IEEE 754 double, in hex, and how ECMAScript writes it
    "0000000000000000": "0",
    "8000000000000000": "0",
    "0000000000000001": "5e-324",
    "8000000000000001": "-5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308",
    "ffefffffffffffff": "-1.7976931348623157e+308",
    "4340000000000000": "9007199254740992",
    "c340000000000000": "-9007199254740992",
    "4430000000000000": "295147905179352830000",
    "44b52d02c7e14af5": "9.999999999999997e+22",
    "44b52d02c7e14af6": "1e+23",
    "44b52d02c7e14af7": "1.0000000000000001e+23",
    "444b1ae4d6e2ef4e": "999999999999999700000",
    "444b1ae4d6e2ef4f": "999999999999999900000",
    "444b1ae4d6e2ef50": "1e+21",
    "3eb0c6f7a0b5ed8c": "9.999999999999997e-7",
    "3eb0c6f7a0b5ed8d": "0.000001",
    "41b3de4355555553": "333333333.3333332",
    "41b3de4355555554": "333333333.33333325",
    "41b3de4355555555": "333333333.3333333",
    "41b3de4355555556": "333333333.3333334",
    "41b3de4355555557": "333333333.33333343",
    "becbf647612f3696": "-0.0000033333333333333333",
    "43143ff3c1cb0959": "1424953923781206.2",
    "4340000000000001": "9007199254740994",
    "4340000000000002": "9007199254740996",
}


@pytest.mark.parametrize(("double", "text"), NUMBERS.items())
def test_numbers_are_written_as_in_appendix_b(double, text):
    (number,) = struct.unpack(">d", bytes.fromhex(double))

    assert bodies.canonical([number]) == f"[{text}]"


@pytest.mark.parametrize("double", ["7fffffffffffffff", "7ff0000000000000", "fff0000000000000"])
def test_what_is_no_number_has_no_text(double):
    with pytest.raises(Unreadable):
        bodies.canonical(struct.unpack(">d", bytes.fromhex(double))[0])


def test_members_are_sorted_by_utf_16_code_units_as_in_section_3_2_3():
    names = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\x80", "\xf6"]

    text = bodies.canonical(dict.fromkeys(names, 0))

    wanted = ["\\r", "1", "\x80", "\xf6", "\u20ac", "\U0001f600", "\ufb33"]
    assert text == "{" + ",".join(f'"{name}":0' for name in wanted) + "}"


def test_literals_and_strings_are_written_as_in_section_3_2_2():
    plain = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": '\u20ac$\u000f\u000aA\'B"\\\\"/',
        "literals": [None, True, False],
    }

    assert bodies.canonical(plain) == (
        '{"literals":[null,true,false],'
        '"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


@pytest.mark.parametrize(
    "plain", [2**53, -(2**53), {"a": "\ud800"}, {"\udfff": 1}, {1: "a"}, object()]
)
def test_what_json_cannot_say_everywhere_alike_is_unreadable(plain):
    """I-JSON, RFC 7493: integers within 2**53 - 1, no surrogate on its own, names are strings."""
    with pytest.raises(Unreadable):
        bodies.canonical(plain)


def test_odd_documents_are_named():
    deep: list = []
    for _ in range(200):
        deep = [deep]

    assert odd({"a": [{"b": "c"}]}) is None
    assert odd({"a": ["x\0"]}) == odd({"\0": 1}) == "it holds the character NUL"
    assert odd(deep) == odd({"a": deep}) == "it is nested too deeply"


@pytest.mark.parametrize(
    ("odd", "kept"), [("L07", "L07"), ("\0", "\\0"), ("\ud800", "\\ud800"), (7, "7"), ("ñ", "ñ")]
)
def test_any_text_can_be_kept(odd, kept):
    assert keepable(odd) == kept
