"""The excavator against the rules, by hand: item ids of its list, or why none can answer.

It has no brake pedal: its travel drive stops it and holds it when pedals and levers are let go, and
the house has a brake of its own (common practice, no source). 56.14106 and 56.14130 do not name
excavators; their structure and belt are looked at all the same.
"""

from tests.coverage.reasons import LOGBOOK, MECHANIC, VERDICT

COVERED: dict[str, dict[str, tuple[str, ...] | str]] = {
    "30 CFR 56": {
        "56.14100(a)": ("leaks-underneath",),
        "56.14100(b)": MECHANIC,
        "56.14100(c)": VERDICT,
        "56.14100(d)": LOGBOOK,
        "56.14101(a)(1)": ("travel-stop",),
        "56.14101(a)(2)": ("travel-stop",),
        "56.14101(a)(3)": ("slew-brake", "travel-stop"),
        "56.14103(a)": ("windows-and-wipers",),
        "56.14103(b)": ("windows-and-wipers",),
        "56.14103(c)": ("seat-and-floor",),
        "56.14106(a)": ("rops-fops",),
        "56.14107(a)": ("guards-and-covers",),
        "56.14132(a)": ("horn",),
        "56.14132(b)(1)": ("travel-alarm",),
        "56.14132(b)(2)": ("travel-alarm", "horn"),
    },
    "29 CFR 1926.20": {"(b)(3)": VERDICT},
}
