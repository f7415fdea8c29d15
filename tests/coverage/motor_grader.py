"""The motor grader against the rules, by hand: item ids of its list, or why none can answer."""

from tests.coverage.reasons import LOGBOOK, MECHANIC, VERDICT

COVERED: dict[str, dict[str, tuple[str, ...] | str]] = {
    "29 CFR 1926.602(a)": {
        "(2)(i)": ("seat-belt",),
        "(4)": ("service-brake",),
        "(5)": "fenders are asked of haulage machines, not of graders",
        "(6)": ("rops-fops",),
        "(9)(i)": ("horn",),
        "(9)(ii)": ("reverse-alarm",),
        "(10)": "scissor points are guarded on front-end loaders, not on graders",
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
        "56.14106(a)": "asked of fork-lift trucks, loaders and dozers, not of graders",
        "56.14107(a)": ("guards-and-covers",),
        "56.14132(a)": ("horn",),
        "56.14132(b)(1)": ("reverse-alarm",),
        "56.14132(b)(2)": ("reverse-alarm", "horn"),
    },
    "30 CFR 56.14130": {
        "56.14130(a)": ("rops-fops", "seat-belt"),
        "56.14130(c)": ("rops-fops",),
        "56.14130(e)": ("rops-fops",),
        "56.14130(i)": ("seat-belt",),
    },
    "29 CFR 1926.20": {"(b)(3)": VERDICT},
}
