"""The haul truck against the rules, by hand: item ids of its list, or why none can answer."""

from tests.coverage.reasons import LOGBOOK, MECHANIC, VERDICT

COVERED: dict[str, dict[str, tuple[str, ...] | str]] = {
    "29 CFR 1926.602(a)": {
        "(2)(i)": ("seat-belt", "trainer-seat-and-belt"),
        "(4)": ("service-brake",),
        "(5)": ("mud-flaps-and-ejectors",),
        # MEMORY: (7), roll-over protection of off-highway trucks, is reserved.
        "(6)": "off-highway trucks are left to (7), which asks for nothing yet",
        "(9)(i)": ("horn",),
        "(9)(ii)": ("reverse-alarm",),
        "(10)": "scissor points are guarded on front-end loaders, not on haul trucks",
    },
    "30 CFR 56": {
        "56.14100(a)": ("leaks-underneath",),
        "56.14100(b)": MECHANIC,
        "56.14100(c)": VERDICT,
        "56.14100(d)": LOGBOOK,
        "56.14101(a)(1)": ("service-brake",),
        "56.14101(a)(2)": ("parking-brake",),
        "56.14101(a)(3)": (
            "service-brake",
            "parking-brake",
            "secondary-brake",
            "accumulators",
        ),
        "56.14103(a)": ("windows-and-wipers",),
        "56.14103(b)": ("windows-and-wipers",),
        "56.14103(c)": ("seat-and-floor",),
        "56.14106(a)": "asked of fork-lift trucks, loaders and dozers, not of haul trucks",
        "56.14107(a)": ("guards-and-covers",),
        "56.14132(a)": ("horn",),
        "56.14132(b)(1)": ("reverse-alarm",),
        "56.14132(b)(2)": ("reverse-alarm", "horn"),
    },
    "30 CFR 56.14131": {
        "56.14131(a)": ("seat-belt", "trainer-seat-and-belt"),
        "56.14131(b)": ("seat-belt", "trainer-seat-and-belt"),
    },
    "29 CFR 1926.20": {"(b)(3)": VERDICT},
}
