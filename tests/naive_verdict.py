"""The verdict once more, by brute force (see tests/naive.py)."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.naive import MINUTE, Naive, Plain, items_of, length, ms

ORDER = ["laid_up", "defect", "hold", "deferral_over", "cut_short", "unconfirmed", "not_walked"]
ORDER += ["doubt", "second_look", "deferred"]
STATES = {"laid_up": "laid_up", "defect": "tagged_out", "hold": "tagged_out"}
STATES |= {"deferral_over": "tagged_out", "deferred": "ok_with_restrictions"}
Reason = tuple[str, frozenset[str], str | None]  # code, defects, what else it names


def verdict(unit: Naive, now: int) -> tuple[str, list[str], set[Reason], int | None]:
    """Return state, codes in their order, reasons, and until when."""
    ends, excuses = covers(unit, now)
    reasons = by_defects(unit, now) + by_names(unit) + second_looks(unit)
    reasons += [] if ends else [(code, frozenset(), None) for code in excuses or ["not_walked"]]
    codes = sorted((code for code, _, _ in reasons), key=ORDER.index)
    state = STATES.get(codes[0], "not_checked") if codes else "ok_to_run"
    runs = state in ("ok_to_run", "ok_with_restrictions")
    return state, codes, set(reasons), min([max(ends), *deferral_ends(unit, now)]) if runs else None


def by_defects(unit: Naive, now: int) -> list[Reason]:
    defects, lines = unit.defects(), {}
    for id, state in unit.standing(now).items():
        lines.setdefault((state, defects[id]["item"] or id), set()).add(id)
    codes = {"open": "defect", "over": "deferral_over", "deferred": "deferred"}
    return [(codes[state], frozenset(ids), None) for (state, _), ids in lines.items()]


def deferral_ends(unit: Naive, now: int) -> list[int]:
    states, ends = unit.standing(now), []
    for id, together in unit.deferrals(unit.defects()).items():
        if states.get(id) == "deferred" and unit.force(together, now) == "in force":
            ends += [ms(entry["body"]["until"]) for entry in together]
    return ends


def by_names(unit: Naive) -> list[Reason]:
    """Return holds, lay-ups and doubts that nothing has ended."""
    found: list[Reason] = []
    released = {e["body"]["hold"] for e in unit.counted("release")}
    back = {e["body"]["lay_up"] for e in unit.counted("return")}
    settled = {e["body"]["about"] for e in unit.counted("settle")}
    for e in unit.said:
        stands = e["id"] in unit.contested or unit.full(e)
        if e["kind"] == "hold" and e["id"] not in released:
            found.append(("hold", frozenset(), e["id"]))
        if e["kind"] == "lay_up" and stands and e["id"] not in back:
            found.append(("laid_up", frozenset(), e["id"]))
        if e["kind"] == "doubt" and e["body"]["about"] not in settled:
            found.append(("doubt", frozenset(), e["body"]["about"]))
    return list(dict.fromkeys(found))


def second_looks(unit: Naive) -> list[Reason]:
    history = sorted((since, v) for name, since, v in unit.settings if name == "second_look")
    if not history or history[-1][1] != "on":
        return []
    on = max([s for (s, v), (_, before) in zip(history[1:], history, strict=False) if before != v])
    due: dict[str, set[str]] = {}
    for id, defect in unit.defects().items():
        clears = [c for c in unit.counted("clear") if id in c["body"]["defects"]]
        if not defect["critical"] or not clears or min(c["got"] for c in clears) < on:
            continue
        if not any(
            looked(c, walk)
            for c in clears
            for walk in unit.counted("walkaround")
            if not unit.withdrawn(walk)
        ):
            first = min(clears, key=lambda c: (c["made"], c["id"]))
            due.setdefault(first["id"], set()).add(id)
    return [("second_look", frozenset(ids), clear) for clear, ids in due.items()]


def looked(clear: Plain, walk: Plain) -> bool:
    named = clear["id"] in walk["body"].get("looked_again", [])
    return named and walk["made"] > clear["made"] and walk["by"] != clear["by"]


def walks(unit: Naive) -> list[Plain]:
    found = [e for e in unit.said if e["kind"] == "walkaround"]
    return [e for e in found if e["id"] in unit.contested or not unit.withdrawn(e)]


def covers(unit: Naive, now: int) -> tuple[list[int], set[str]]:
    """Return the ends of what covers now, and what the other walks for now lack."""
    ends, excuses = [], set()
    for walk in walks(unit):
        content, window = known(unit, walk), meant(unit, walk)
        if window is None or not window[0] <= now < window[1]:
            continue
        if content is None or not unit.full(walk):
            excuses |= {"unconfirmed"} if may_be_a_start(unit, walk) else set()
        elif fits(unit, walk, content, window):
            whole = not left_out(unit, walk, content)
            ends, excuses = (
                (ends + [window[1]], excuses) if whole else (ends, excuses | {"cut_short"})
            )
    return ends, excuses


def may_be_a_start(unit: Naive, walk: Plain) -> bool:
    """Say whether some version of that list is for the start of a shift, or nobody knows it."""
    name = walk["body"]["checklist"]
    versions = [v["content"] for v in unit.lists if v["content"]["checklist"] == name]
    return not versions or any(v["occasion"] == "start_of_shift" for v in versions)


def known(unit: Naive, walk: Plain) -> Plain | None:
    version = unit.version(walk)
    return version["content"] if version else None


def started(walk: Plain) -> int:
    return ms(walk["body"]["started_at"]) + int(walk["skew"])


def meant(unit: Naive, walk: Plain) -> tuple[int, int] | None:
    """Return the stretch that a walk is for."""
    content = known(unit, {**walk, "got": 2**62})  # also by a version that came later
    if content and (lasts := length(content.get("valid_for"))):
        return walk["made"], walk["made"] + lasts
    if walk["body"].get("for_shift"):
        start = ms(walk["body"]["for_shift"])
        return next((s for s in shifts(unit.settings, start) if s[0] == start), None)
    near = shifts(unit.settings, walk["made"])
    inside = [s for s in near if s[0] <= walk["made"] < s[1]]
    coming = [s for s in near if s[0] > walk["made"]][:1]
    early = [s for s in coming if s[0] - allowance(unit, s[0]) <= walk["made"]]
    return (inside or early or [None])[0]


def allowance(unit: Naive, instant: int) -> int:
    history = sorted((since, int(v)) for name, since, v in unit.settings if name == "early")
    held = [v for since, v in history if since <= instant] or [history[0][1]]
    return held[-1] * MINUTE


def fits(unit: Naive, walk: Plain, content: Plain, window: tuple[int, int]) -> bool:
    """Say whether list and times are right."""
    opens, begun = window[0] - allowance(unit, window[0]), started(walk)
    in_time = all(opens <= at < window[1] for at in (begun, walk["made"]))
    if lasts := length(content.get("valid_for")):
        in_time = begun >= walk["made"] - lasts
    own = [
        v
        for v in unit.lists
        if v["content"]["machine"] == unit.machine and v["content"]["occasion"] == "start_of_shift"
        if v["since"] <= begun and (v["until"] is None or begun < v["until"])
    ]
    right = content["machine"] == unit.machine or (content["machine"] == "any" and not own)
    return in_time and right and content["occasion"] == "start_of_shift"


def left_out(unit: Naive, walk: Plain, content: Plain) -> list[str]:
    """Return the items that were due and about which nothing is told."""
    found = []
    for name, item in items_of(content).items():
        given = [a for a in walk["body"]["answers"] if a["item"] == name]
        words = {a.get("answer") or "value" for a in given}
        right = {"value"} if item.get("measure") else {"in_order", "defect", "no_worse"}
        told = "could_not_check" not in words and bool(words & (right | {"not_fitted"}))
        every = length((item.get("measure") or {}).get("every"))
        before = measured(unit, name) if every else []
        fresh = every and any(at <= started(walk) < at + every for at in before)
        if not told and not fresh:
            found.append(name)
    return found


def measured(unit: Naive, item: str) -> list[int]:
    return [
        walk["made"]
        for walk in unit.counted("walkaround")
        if not unit.withdrawn(walk)
        and any(a["item"] == item and a.get("value") is not None for a in walk["body"]["answers"])
    ]


def shifts(settings: list[tuple[str, int, str]], now: int) -> list[tuple[int, int]]:
    """Return the shifts within three days of an instant, by the IANA time zone database."""
    times = [
        (since, value)
        for name, since, value in sorted(settings, key=lambda s: s[1])
        if name == "shifts"
    ]
    zone = ZoneInfo(next(value for name, _, value in settings if name == "zone"))
    today, found = datetime.fromtimestamp(now / 1000, zone).date(), {}
    for place, (since, text) in enumerate(times):
        until = times[place + 1][0] if place + 1 < len(times) else 2**62
        for start, end in planned(text, zone, today):
            if (place == 0 or since <= start) and start < until:
                found[start] = end
    starts = sorted(found)
    return [
        (start, min(found[start], *starts[i + 1 : i + 2], 2**62)) for i, start in enumerate(starts)
    ]


def planned(text: str, zone: ZoneInfo, today: date) -> list[tuple[int, int]]:
    def at(day: date, clock: str) -> int:
        hour, minute = map(int, clock.split(":"))
        moment = datetime(day.year, day.month, day.day, hour, minute, tzinfo=zone)
        return int(moment.timestamp()) * 1000

    days = [today + timedelta(days=d) for d in range(-3, 4)]
    if "-" in text:
        first, last = text.split("-")
        return [(at(day, first), at(day, last)) for day in days]
    starts = sorted(at(day, clock) for day in days for clock in text.split(","))
    return list(zip(starts, starts[1:], strict=False))
