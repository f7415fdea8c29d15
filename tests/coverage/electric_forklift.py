"""The electric forklift against the rules, by hand: item ids of its list, or why none can."""

from tests.coverage.reasons import LOGBOOK, MECHANIC, VERDICT

NO_FUEL = "an electric truck has neither fuel nor tank"

COVERED: dict[str, dict[str, tuple[str, ...] | str]] = {
    "29 CFR 1910.178": {
        "(a)(4)": ("forks", "overhead-guard"),
        "(a)(5)": ("data-plate",),
        "(a)(6)": ("data-plate", "battery-plate"),
        "(e)(1)": ("overhead-guard",),
        "(e)(2)": ("load-backrest",),
        "(p)(1)": VERDICT,
        "(p)(2)": NO_FUEL,
        "(p)(3)": NO_FUEL,
        "(p)(4)": NO_FUEL,
        "(q)(1)": MECHANIC,
        "(q)(5)": MECHANIC,
        "(q)(7)": ("leaks-underneath", "display-and-faults", "service-brake"),
    },
    "30 CFR 56": {
        "56.14100(a)": ("leaks-underneath",),
        "56.14100(b)": MECHANIC,
        "56.14100(c)": VERDICT,
        "56.14100(d)": LOGBOOK,
        "56.14101(a)(1)": ("service-brake",),
        "56.14101(a)(2)": ("parking-brake",),
        "56.14101(a)(3)": ("service-brake", "parking-brake", "creep-on-release"),
        "56.14103(a)": ("windows-and-mirrors",),
        "56.14103(b)": ("windows-and-mirrors",),
        "56.14103(c)": ("seat-and-floor",),
        "56.14106(a)": ("overhead-guard",),
        "56.14107(a)": ("guards-and-hood",),
        "56.14132(a)": ("horn",),
        "56.14132(b)(1)": ("reverse-alarm",),
        "56.14132(b)(2)": ("reverse-alarm", "horn"),
    },
    "29 CFR 1926.20": {"(b)(3)": VERDICT},
}
