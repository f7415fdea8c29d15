"""The forklift with an engine against the rules, by hand: item ids of its list, or why none can."""

from tests.coverage.reasons import LOGBOOK, MECHANIC, VERDICT

COVERED: dict[str, dict[str, tuple[str, ...] | str]] = {
    "29 CFR 1910.178": {
        "(a)(4)": ("forks", "overhead-guard"),
        "(a)(5)": ("data-plate",),
        "(a)(6)": ("data-plate",),
        "(e)(1)": ("overhead-guard",),
        "(e)(2)": ("load-backrest",),
        "(p)(1)": VERDICT,
        "(p)(2)": ("diesel-level", "gas-bottle"),
        "(p)(3)": ("diesel-level",),
        "(p)(4)": ("engine-bay", "gas-smell", "gas-hose", "leaks-underneath"),
        "(q)(1)": MECHANIC,
        "(q)(5)": MECHANIC,
        "(q)(7)": ("leaks-underneath", "engine-lamps-and-exhaust", "service-brake"),
    },
    "30 CFR 56": {
        "56.14100(a)": ("leaks-underneath",),
        "56.14100(b)": MECHANIC,
        "56.14100(c)": VERDICT,
        "56.14100(d)": LOGBOOK,
        "56.14101(a)(1)": ("service-brake",),
        "56.14101(a)(2)": ("parking-brake",),
        "56.14101(a)(3)": ("service-brake", "parking-brake", "inching-pedal"),
        "56.14103(a)": ("windows-and-mirrors",),
        "56.14103(b)": ("windows-and-mirrors",),
        "56.14103(c)": ("seat-and-floor",),
        "56.14106(a)": ("overhead-guard",),
        "56.14107(a)": ("guards-and-covers",),
        "56.14132(a)": ("horn",),
        "56.14132(b)(1)": ("reverse-alarm",),
        "56.14132(b)(2)": ("reverse-alarm", "horn"),
    },
    "29 CFR 1926.20": {"(b)(3)": VERDICT},
}
