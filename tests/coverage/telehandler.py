"""The telehandler against the rules, by hand: item ids of its list, or why none can answer.

Whether it counts as an industrial truck is for the site to say; its list answers as if it did.
"""

from tests.coverage.reasons import LOGBOOK, MECHANIC, VERDICT

COVERED: dict[str, dict[str, tuple[str, ...] | str]] = {
    "29 CFR 1910.178": {
        "(a)(4)": ("forks", "rops-fops"),
        "(a)(5)": ("load-chart",),
        "(a)(6)": ("load-chart",),
        "(e)(1)": ("rops-fops",),
        "(e)(2)": ("load-backrest",),
        "(p)(1)": VERDICT,
        "(p)(2)": ("diesel-cap",),
        "(p)(3)": ("diesel-cap",),
        "(p)(4)": ("diesel-cap", "engine-bay", "leaks-underneath"),
        "(q)(1)": MECHANIC,
        "(q)(5)": MECHANIC,
        "(q)(7)": ("leaks-underneath", "load-moment-indicator", "service-brake"),
    },
    "30 CFR 56": {
        "56.14100(a)": ("leaks-underneath",),
        "56.14100(b)": MECHANIC,
        "56.14100(c)": VERDICT,
        "56.14100(d)": LOGBOOK,
        "56.14101(a)(1)": ("service-brake",),
        "56.14101(a)(2)": ("parking-brake",),
        "56.14101(a)(3)": ("service-brake", "parking-brake"),
        "56.14103(a)": ("windows-and-wipers",),
        "56.14103(b)": ("windows-and-wipers",),
        "56.14103(c)": ("seat-and-floor",),
        "56.14106(a)": ("rops-fops",),
        "56.14107(a)": ("guards-and-covers",),
        "56.14132(a)": ("horn",),
        "56.14132(b)(1)": ("reverse-alarm",),
        "56.14132(b)(2)": ("reverse-alarm", "horn"),
    },
    "29 CFR 1926.20": {"(b)(3)": VERDICT},
}
