"""The road truck against the rules, by hand: item ids of its lists, or why none can answer.

The driver's report of 49 CFR 396.11 is the list at the end of the day; all else is the start.
"""

from tests.coverage.reasons import LOGBOOK, MECHANIC, VERDICT

TYRES = ("tyre-front-right", "tyre-rear-right", "tyre-rear-left", "tyre-front-left")
PARTS: dict[str, tuple[str, ...] | str] = {
    "(i)": (
        "service-brake",
        "springs-and-brakes-right",
        "springs-and-brakes-left",
        "air-tanks",
        "trailer-lines-and-legs",
    ),
    "(ii)": ("parking-brake",),
    "(iii)": ("steering", "steering-linkage"),
    "(iv)": ("headlights-and-indicators", "rear-lights-and-reflectors"),
    "(v)": (*TYRES, "trailer-running-gear"),
    "(vi)": ("horn",),
    "(vii)": ("windows-and-wipers",),
    "(viii)": ("mirrors-and-camera",),
    "(ix)": ("trailer-coupling", "trailer-tug-test"),
    "(x)": (*TYRES, "trailer-running-gear"),
    "(xi)": ("emergency-triangles", "extinguisher"),
}

COVERED: dict[str, dict[str, tuple[str, ...] | str]] = {
    "29 CFR 1926.601(b)(14)": {
        "service brakes, trailer connections": (
            "service-brake",
            "springs-and-brakes-right",
            "springs-and-brakes-left",
            "air-tanks",
            "trailer-lines-and-legs",
        ),
        "parking brake": ("parking-brake",),
        "emergency brake": ("low-air-warning", "trailer-tug-test"),
        "tyres": (*TYRES, "trailer-running-gear"),
        "horn": ("horn",),
        "steering": ("steering", "steering-linkage"),
        "coupling devices": ("trailer-coupling", "trailer-tug-test"),
        "seat belts": ("seat-belt",),
        "operating controls": ("seat-and-floor",),
        "safety devices": ("reverse-alarm", "emergency-triangles", "guards-and-covers"),
        "lights": ("headlights-and-indicators", "rear-lights-and-reflectors"),
        "reflectors": ("rear-lights-and-reflectors",),
        "wipers": ("windows-and-wipers",),
        "defrosters": ("windows-and-wipers",),
        "extinguishers": ("extinguisher",),
    },
    "49 CFR 396.11(a)(1)": {
        "(i)": ("service-brake",),
        "(ii)": ("parking-brake-set",),
        "(iii)": ("steering",),
        "(iv)": ("lights-and-reflectors",),
        "(v)": ("tyres-after-work",),
        "(vi)": ("horn",),
        "(vii)": ("windows-and-wipers",),
        "(viii)": ("mirrors-and-camera",),
        "(ix)": ("trailer-coupling",),
        "(x)": ("wheels-and-rims-after-work",),
        "(xi)": ("emergency-triangles", "extinguisher"),
    },
    "49 CFR 392.7(a)": PARTS,
    "49 CFR 396.13": {
        "(a)": "the whole walk answers to it, and the signature below it",
        "(b)": ("last-report",),
        "(c)": ("last-report",),
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
            "springs-and-brakes-right",
            "springs-and-brakes-left",
            "air-tanks",
            "air-leak-down",
        ),
        "56.14103(a)": ("windows-and-wipers",),
        "56.14103(b)": ("windows-and-wipers",),
        "56.14103(c)": ("seat-and-floor",),
        "56.14106(a)": "asked of fork-lift trucks, loaders and bulldozers, not of road trucks",
        "56.14107(a)": ("guards-and-covers",),
        "56.14132(a)": ("horn",),
        "56.14132(b)(1)": ("reverse-alarm",),
        "56.14132(b)(2)": ("reverse-alarm", "horn"),
    },
    "29 CFR 1926.20": {"(b)(3)": VERDICT},
}
