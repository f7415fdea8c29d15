"""What published rules ask to be looked at, clause part by clause part, by hand from their text.

Where a clause came from: READ, the text or a print of it; READ-2, a summary that restates it;
MEMORY, known and not read again. What no walk round a machine can show stays in, so that nothing
is left out in silence: a machine's table then gives the reason in words.
"""

from typing import NamedTuple


class Part(NamedTuple):
    """One part of a clause; what answers to it must speak of `speaks`, a regular expression."""

    asks: str
    speaks: str
    read: str


# 29 CFR 1926.602(a), earthmoving machines. READ: a print of the section, (1) to (4).
EARTHMOVING = {
    "(2)(i)": Part("seat belts", r"buckle", "READ"),
    "(4)": Part("service brakes stop and hold the loaded machine", r"stops|slows", "READ"),
    "(5)": Part("fenders of haulage machines", r"fender|mudguard|mud flap", "MEMORY"),
    "(6)": Part("roll-over protection", r"crack", "MEMORY"),
    "(9)(i)": Part("a horn that is heard, kept working at all times", r"over the engine", "READ-2"),
    "(9)(ii)": Part("reverse alarm or a signaller", r"over the engine", "READ-2"),
    "(10)": Part("scissor points of front-end loaders are guarded", r"shear", "READ-2"),
}

# 29 CFR 1926.601(b)(14), vehicles on a site, at the beginning of each shift. READ: an official
# guide that lists the parts; the last five are asked for where they are needed.
SITE_VEHICLE = {
    "service brakes, trailer connections": Part("", r"brake", "READ"),
    "parking brake": Part("", r"parking brake", "READ"),
    "emergency brake": Part("", r"emergency|spring|trailer", "READ"),
    "tyres": Part("", r"tyre", "READ"),
    "horn": Part("", r"horn", "READ"),
    "steering": Part("", r"steering", "READ"),
    "coupling devices": Part("", r"coupling|fifth wheel|hitch", "READ"),
    "seat belts": Part("", r"belt", "READ"),
    "operating controls": Part("", r"pedal|lever|control", "READ"),
    "safety devices": Part("", r"alarm|triangle|guard|interlock", "READ"),
    "lights": Part("", r"light", "READ"),
    "reflectors": Part("", r"reflector", "READ"),
    "wipers": Part("", r"wiper", "READ"),
    "defrosters": Part("", r"defrost|demist|heater|blower", "READ"),
    "extinguishers": Part("", r"extinguisher", "READ"),
}

# 49 CFR 396.11(a)(1), what a driver reports on at the end of the day's work. READ.
DAY_REPORT = {
    "(i)": Part("service brakes with trailer brake connections", r"brake", "READ"),
    "(ii)": Part("parking brake", r"parking brake", "READ"),
    "(iii)": Part("steering mechanism", r"steering", "READ"),
    "(iv)": Part("lighting devices and reflectors", r"reflector", "READ"),
    "(v)": Part("tyres", r"tyre", "READ"),
    "(vi)": Part("horn", r"horn", "READ"),
    "(vii)": Part("windscreen wipers", r"wiper", "READ"),
    "(viii)": Part("rear-vision mirrors", r"mirror", "READ"),
    "(ix)": Part("coupling devices", r"coupling|fifth wheel|hitch", "READ"),
    "(x)": Part("wheels and rims", r"rim|wheel", "READ"),
    "(xi)": Part("emergency equipment", r"triangle|extinguisher", "READ"),
}

# 49 CFR 392.7(a), before driving: the same parts. READ-2: the stored copy shows nine of them.
BEFORE_DRIVING = {clause: part._replace(read="READ-2") for clause, part in DAY_REPORT.items()}

# 49 CFR 396.13, the driver before driving. READ.
NEXT_DRIVER = {
    "(a)": Part("satisfied that the vehicle is in safe condition", r".", "READ"),
    "(b)": Part("reviews the last report", r"report", "READ"),
    "(c)": Part("signs for the review and that repairs were certified", r"sign", "READ"),
}

# 29 CFR 1910.178, powered industrial trucks. READ: (p), (q)(1), (q)(5), (q)(7). MEMORY: (a), (e).
INDUSTRIAL_TRUCK = {
    "(a)(4)": Part(
        "nothing added or changed without the maker's word", r"weld|drilled|added", "MEMORY"
    ),
    "(a)(5)": Part("attachments: the truck is marked with them", r"plate", "MEMORY"),
    "(a)(6)": Part("nameplates and markings are there and legible", r"plate|read", "MEMORY"),
    "(e)(1)": Part("overhead guard", r"overhead guard|roof|fops", "MEMORY"),
    "(e)(2)": Part("load backrest extension", r"backrest", "MEMORY"),
    "(p)(1)": Part("in any way unsafe: taken out of service", r"", "READ"),
    "(p)(2)": Part("not filled with the engine running", r"engine stopped|switched off", "READ"),
    "(p)(3)": Part("spills washed away, cap back on before starting", r"spill", "READ"),
    "(p)(4)": Part("no work with a leak in the fuel system", r"leak|wet|smell", "READ"),
    "(q)(1)": Part("repairs by authorised people: the mechanic's part", r"", "READ"),
    "(q)(5)": Part("replacement parts as safe as the original: the mechanic's part", r"", "READ"),
    "(q)(7)": Part("examined before it is placed in service, daily", r".", "READ"),
}

# 30 CFR part 56, surface mines. READ: 56.14100, 56.14103 (twin 57.14103), 56.14106, 56.14107,
# 56.14130(a) to (e), 56.14132. READ-2: 56.14101(a).
MINE = {
    "56.14100(a)": Part(
        "inspected by its operator before it works in the shift", r"ground", "READ"
    ),
    "56.14100(b)": Part("defects are corrected: the mechanic's part", r"", "READ"),
    "56.14100(c)": Part("taken out of service and tagged: the verdict's part", r"", "READ"),
    "56.14100(d)": Part("defects not corrected are recorded: the logbook's part", r"", "READ"),
    "56.14101(a)(1)": Part("service brake stops and holds", r"stops|slows", "READ-2"),
    "56.14101(a)(2)": Part("parking brake holds", r"creep|hold|roll", "READ-2"),
    "56.14101(a)(3)": Part("every brake part is kept functional", r"brake", "READ-2"),
    "56.14103(a)": Part("windows of safety glass, kept clear", r"clear|field of view", "READ"),
    "56.14103(b)": Part("damaged glass is replaced or taken out", r"crack", "READ"),
    "56.14103(c)": Part(
        "the operator's place is free of what impairs safety", r"nothing loose", "READ"
    ),
    "56.14106(a)": Part("falling-object protection", r"overhead guard|fops|roof", "READ"),
    "56.14107(a)": Part("moving parts are guarded", r"guard", "READ"),
    "56.14132(a)": Part("the horn is kept functional", r"horn|over the", "READ"),
    "56.14132(b)(1)": Part("reverse alarm where the view is obstructed", r"revers", "READ"),
    "56.14132(b)(2)": Part("alarms are heard over the surrounding noise", r"over the", "READ"),
}

# 30 CFR 56.14130, ROPS and belts of the machines it names: crawler and wheel tractors and loaders,
# graders, tractors of scrapers and dumpers, skid-steers. READ: (a), (c), (e). MEMORY: (i).
MINE_ROPS = {
    "56.14130(a)": Part("ROPS and seat belts are there", r"crack|buckle", "READ"),
    "56.14130(c)": Part("the ROPS has its label", r"plate|label", "READ"),
    "56.14130(e)": Part("the ROPS is neither damaged nor altered", r"weld|drilled", "READ"),
    "56.14130(i)": Part("seat belts are kept functional", r"buckle", "MEMORY"),
}

# 30 CFR 56.14131, seat belts in haul trucks. MEMORY; that (c) is about how a belt is built and (b)
# about its upkeep: READ-2, a summary.
MINE_TRUCK_BELTS = {
    "56.14131(a)": Part("belts are provided and worn", r"belt", "MEMORY"),
    "56.14131(b)": Part("belts are kept functional", r"buckle", "READ-2"),
}

# 29 CFR 1926.20(b)(3): what is unsafe is tagged, locked or taken away. MEMORY, not read again.
SITE_TAG = {"(b)(3)": Part("tagged, locked or removed: the verdict's part", r"", "MEMORY")}

RULES: dict[str, dict[str, Part]] = {
    "29 CFR 1926.602(a)": EARTHMOVING,
    "29 CFR 1926.601(b)(14)": SITE_VEHICLE,
    "49 CFR 396.11(a)(1)": DAY_REPORT,
    "49 CFR 392.7(a)": BEFORE_DRIVING,
    "49 CFR 396.13": NEXT_DRIVER,
    "29 CFR 1910.178": INDUSTRIAL_TRUCK,
    "30 CFR 56": MINE,
    "30 CFR 56.14130": MINE_ROPS,
    "30 CFR 56.14131": MINE_TRUCK_BELTS,
    "29 CFR 1926.20": SITE_TAG,
}

ALL = ("30 CFR 56", "29 CFR 1926.20")
EARTH = ("29 CFR 1926.602(a)", *ALL)
TRUCK = ("29 CFR 1910.178", *ALL)
APPLIES: dict[str, tuple[str, ...]] = {
    "wheel loader": (*EARTH, "30 CFR 56.14130"),
    "dozer": (*EARTH, "30 CFR 56.14130"),
    "motor grader": (*EARTH, "30 CFR 56.14130"),
    "haul truck": (*EARTH, "30 CFR 56.14131"),
    "excavator": ALL,
    "electric forklift": TRUCK,
    "combustion forklift": TRUCK,
    "telehandler": TRUCK,
    "road truck": (
        "29 CFR 1926.601(b)(14)",
        "49 CFR 396.11(a)(1)",
        "49 CFR 392.7(a)",
        "49 CFR 396.13",
        *ALL,
    ),
}
