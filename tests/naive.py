"""What stands of exported entries, once more and by brute force: nothing of ours is imported.

It is written after design, section 3, to be compared with the program's own way; it knows neither
services nor fills nor phones nor people who left.
"""

import uuid
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

Plain = dict[str, Any]
MINUTE = 60_000
UNITS = {"min": MINUTE, "h": 60 * MINUTE, "d": 24 * 60 * MINUTE}
OTHER = "the same id came with other content"
NO_LOOKING = {"clear", "defer", "release", "return", "settle", "lay_up", "meter_change", "service"}
NO_LOOKING |= {"correction", "confirm"}


def ms(text: str) -> int:
    moment = datetime.fromisoformat(text.replace("Z", "+00:00"))
    return (moment - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(milliseconds=1)


def length(text: str | None) -> int | None:
    number, unit = text.split() if text else ("0", "d")
    return int(number) * UNITS[unit] or None


@dataclass
class Naive:
    """One unit of a site: its logbook, all versions of lists, all settings with their dates."""

    log: list[Plain]  # as exported
    lists: list[Plain]  # {"since", "until", "version", "content"}
    settings: list[tuple[str, int, str]]  # name, since, value
    machine: str
    first_hours: float | None
    said: list[Plain] = field(default_factory=list)
    contested: set[str] = field(default_factory=set)
    signed: set[str] = field(default_factory=set)
    by_kind: dict[str, list[Plain]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for entry in self.log:
            skew = entry["skew_ms"] if abs(entry["skew_ms"]) >= 2 * MINUTE else 0
            made = {"skew": skew, "made": ms(entry["made_at"]) + skew, "own": True}
            self.said.append({**entry, **made, "got": ms(entry["received_at"])})
            content = entry["body"].get("content")
            if entry["kind"] == "doubt" and entry["body"]["why"] == OTHER:
                self.contested.add(entry["body"]["about"])
                if content["unit"] == entry["unit"]:
                    other = {**content, "id": entry["body"]["about"], "own": False}
                    other |= {"made": ms(content["made_at"]) + skew, "skew": skew}
                    other |= {"got": ms(entry["received_at"])}
                    self.said.append(other)
        self._sign()

    def _sign(self) -> None:
        own = {e["id"]: e for e in self.said if e["own"]}
        self.signed = {id for id, e in own.items() if e["signature"] == "confirmed"}
        words = [e for e in own.values() if e["kind"] == "confirm"]
        for _ in words:
            for word in words:
                to = own.get(word["body"]["entry"])
                if not to or word["id"] not in self.signed or word["id"] in self.contested:
                    continue
                if to["by"] == word["by"] and self._may_be_confirmed(to):
                    self.signed.add(to["id"])

    def _may_be_confirmed(self, entry: Plain) -> bool:
        future = entry["made"] > entry["got"] + 5 * MINUTE
        if entry["kind"] != "walkaround":
            return not future or entry["kind"] in NO_LOOKING
        body, known = entry["body"], self._items(entry)
        backwards = ms(body["finished_at"]) < ms(body["started_at"])
        strange = known is None or any(a["item"] not in known for a in body["answers"])
        return not (future or backwards or strange)

    def full(self, entry: Plain) -> bool:
        return entry["own"] and entry["id"] in self.signed and entry["id"] not in self.contested

    def counted(self, kind: str) -> list[Plain]:
        if kind not in self.by_kind:
            self.by_kind[kind] = [e for e in self.said if e["kind"] == kind and self.full(e)]
        return self.by_kind[kind]

    def withdrawn(self, entry: Plain) -> bool:
        return any(
            c["body"].get("withdraws") and c["body"]["entry"] == entry["id"]
            for c in self.counted("correction")
            if c["by"] == entry.get("by") or "supervisor" in c["roles"]
        )

    # --- lists

    def version(self, entry: Plain) -> Plain | None:
        for version in self.lists:
            same = version["content"]["checklist"] == entry["body"]["checklist"]
            if same and version["version"] == entry["body"]["version"]:
                return version if version["since"] <= entry["got"] else None
        return None

    def _items(self, entry: Plain) -> dict[str, Plain] | None:
        version = self.version(entry)
        return items_of(version["content"]) if version else None

    def _critical(self, item: str | None, name: str | None) -> bool:
        for version in self.lists:
            content = version["content"]
            mine = content["machine"] in (self.machine, "any") if name is None else False
            says = items_of(content).get(item or "", {}).get("critical")
            if says and (mine or content["checklist"] == name):
                return True
        return False

    # --- defects

    def defects(self) -> dict[str, Plain]:
        found: dict[str, Plain] = {}
        for entry in self.said:
            for id, item, critical, fails in self._failures(entry):
                known = found.setdefault(id, {"item": item, "critical": False, "fails": []})
                known["critical"] |= critical
                known["item"] = item if item == known["item"] else None
                known["fails"] += [{**f, "contested": entry["id"] in self.contested} for f in fails]
        return found

    def _failures(self, entry: Plain) -> list[tuple[str, str | None, bool, list[Plain]]]:
        body = entry["body"]
        if entry["kind"] == "defect":
            critical = body.get("critical", False) or self._critical(body.get("item"), None)
            return [(entry["id"], body.get("item"), critical, [{}])]
        if entry["kind"] != "walkaround":
            return []
        items, failed = self._items(entry) or {}, {}
        for answer in body["answers"]:
            if bad := fails(answer, items.get(answer["item"], {})):
                failed.setdefault(answer["item"], []).append(bad)
        return [
            (
                str(uuid.uuid5(uuid.UUID(entry["id"]), i)),
                i,
                self._critical(i, body["checklist"]),
                bad,
            )
            for i, bad in failed.items()
        ]

    def deferrals(self, defects: dict[str, Plain]) -> dict[str, list[Plain]]:
        found: dict[str, list[Plain]] = {}
        for entry in self.counted("defer"):
            named = entry["body"]["defects"]
            if self.withdrawn(entry) or any(defects.get(n, {}).get("critical") for n in named):
                continue
            for name in named:
                found.setdefault(name, []).append(entry)
        return {
            name: [e for e in all if e["made"] == max(x["made"] for x in all)]
            for name, all in found.items()
        }

    def worked(self, now_or_then: int | None, value: float) -> float:
        gone = [c for c in self._changes() if now_or_then is None or c["made"] <= now_or_then]
        return value + sum(c["body"]["old"] - c["body"]["new"] for c in gone)

    def _changes(self) -> list[Plain]:
        changes = [c for c in self.counted("meter_change") if not self.withdrawn(c)]
        return sorted(changes, key=lambda c: (c["made"], c["id"]))

    def hours(self) -> float | None:
        changes, values = self._changes(), []
        last = changes[-1] if changes else None
        first = last["body"]["new"] if last else self.first_hours
        for e in self.said:
            value = e["body"].get("value" if e["kind"] == "hours" else "hours")
            after = last is None or e["made"] >= last["made"]
            if value is not None and self.full(e) and not self.withdrawn(e) and after:
                values.append(value)
        return max([v for v in [first, *values] if v is not None], default=None)

    def standing(self, now: int) -> dict[str, str]:
        """Say of each defect that is not cleared whether it is open, over or deferred."""
        defects = self.defects()
        gone = {id for e in self.counted("clear") for id in e["body"]["defects"]}
        deferrals, found = self.deferrals(defects), {}
        for id, defect in defects.items():
            if id in gone:
                continue
            bases = [b for b in bases_of(defect, defects) if b not in gone]
            own = [self.force(deferrals[d], now) for d in (id, *bases) if d in deferrals]
            found[id] = "deferred" if "in force" in own else "over" if "over" in own else "open"
        return found

    def force(self, together: list[Plain], now: int) -> str:
        states = set()
        for entry in together:
            hours, stands = entry["body"].get("until_hours"), self.hours()
            reached = hours is not None and stands is not None
            if reached and self.worked(None, stands) >= self.worked(entry["made"], hours):
                states.add("over")
            states.add("over" if now >= ms(entry["body"]["until"]) else "in force")
        if "over" in states:
            return "over"
        return "in force" if together[0]["made"] <= now else "not yet"


def items_of(content: Plain) -> dict[str, Plain]:
    return {item["item"]: item for station in content["stations"] for item in station["items"]}


def fails(answer: Plain, item: Plain) -> Plain | None:
    """Return what is wrong by an answer: value, limits, and what it claims to be no worse than."""
    measure, value, word = item.get("measure") or {}, answer.get("value"), answer.get("answer")
    low, high = measure.get("low"), measure.get("high")
    outside = value is not None and (
        (low is not None and value < low) or (high is not None and value > high)
    )
    bad = word in ("defect", "no_worse") or (word == "not_fitted" and not item.get("optional"))
    if not (bad or (outside and measure)):
        return None
    than = answer.get("than", []) if word == "no_worse" or outside else []
    return {"than": than, "value": value, "low": low, "high": high, "in": measure.get("in")}


def bases_of(defect: Plain, defects: dict[str, Plain]) -> list[str]:
    """Return the defects of the same item that this one is no worse than, if it may claim that."""
    if defect["critical"] or len(defect["fails"]) != 1 or defect["fails"][0].get("contested"):
        return []
    mine = defect["fails"][0]
    return [
        id
        for id in mine.get("than", [])
        if id in defects
        and defects[id]["item"] == defect["item"]
        and (mine["value"] is None or milder(mine, defects[id]["fails"]))
    ]


def milder(mine: Plain, others: list[Plain]) -> bool:
    value, base = mine["value"], others[0].get("value")
    mixed = any(other.get("value") != base for other in others)
    if base is None or mixed or others[0].get("in") != mine["in"]:
        return False
    if mine["low"] is not None and value < mine["low"]:
        return bool(base < mine["low"] and mine["low"] - base >= mine["low"] - value)
    return bool(base > mine["high"] and base - mine["high"] >= value - mine["high"])
