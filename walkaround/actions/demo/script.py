"""What is written down beforehand: a few earlier events, and how the present shift looks."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from walkaround.actions.demo.agenda import Agenda
from walkaround.actions.demo.machine import HOLD, LAY_UP, Machine
from walkaround.actions.demo.maker import Maker
from walkaround.actions.demo.walks import Round, checklist, walk
from walkaround.rules import instant
from walkaround.rules.setting import SiteRules
from walkaround.rules.shift import Shift
from walkaround.rules.shift_choice import choices

Plain = Mapping[str, Any]
RECENT = 5  # days before the present shift in which chance must not spoil what is written down
CALM = 5 * instant.HOUR  # before that, time enough to repair what failed by chance


class Script:
    """Plays demo/site.yaml's steps and walks around one present shift."""

    def __init__(self, maker: Maker, fleet: Mapping[str, Machine], rules: SiteRules, now: int):
        self._maker, self._fleet, self._rules = maker, fleet, rules
        self._shifts = choices(rules, now)
        self.present: Shift = self._shifts[-1]

    def put_on(self, agenda: Agenda) -> None:
        """Put everything on the agenda; what lies ahead of now will never be reached."""
        for machine in self._fleet.values():
            machine.quiet_from = self.present.start - 65 * instant.MINUTE - CALM
        for step in self._maker.site.steps:
            at = self._instant(step["at"], step.get("days", 0))
            self._calm(step, at)
            agenda.add(at, partial(self._step, step))
        for shift in self._shifts:
            for made in self._maker.site.walks:
                if shift is self.present or not made.get("once"):
                    agenda.add(shift.start + _minutes(made["at"]), partial(self._walk, made, shift))

    def days_before(self, days: int) -> int:
        """Return the start of the present shift so many days ago, by the clock on the wall."""
        zone = ZoneInfo(self._maker.site.zone)
        here = datetime.fromtimestamp(self.present.start / 1000, zone)
        return int((here - timedelta(days=days)).timestamp() * 1000)

    def _calm(self, step: Plain, at: int) -> None:
        """Let nothing fail by chance shortly before what is written down."""
        machine = self._fleet.get(step["unit"])
        if machine and step.get("days", 0) > -RECENT:
            machine.quiet_from = min(machine.quiet_from, at - CALM)

    def _instant(self, minutes: float, days: int = 0) -> int:
        return self.days_before(-days) + _minutes(minutes)

    def _walk(self, made: Plain, shift: Shift, now: int) -> None:
        """One of a shift's crew walks round a unit."""
        machine = self._fleet[made["unit"]]
        crew = self._maker.site.crew(self._maker.site.place(shift.start), "operator")
        done = Round(
            by=crew[made["by"] % len(crew)],
            shift=shift.start,
            minutes=made["takes"],
            answers=_known(made, checklist(self._maker, machine)),
            signed=made.get("signed", True),
        )
        walk(self._maker, machine, done, now)

    def _step(self, step: Plain, now: int) -> None:
        machine = self._fleet.get(step["unit"])
        if machine is None:
            by, kind = step["by"], step["kind"]
            self._maker.put(kind, step["unit"], step["body"], by, now, refused=True)
        elif step["kind"] == "walk":
            shift = choices(self._rules, now)[0]
            walk(self._maker, machine, Round(step["by"], shift.start, 8, step["answers"]), now)
            machine.down |= step["answers"].keys()
        else:
            self._enter(step, machine, now)

    def _enter(self, step: Plain, machine: Machine, now: int) -> None:
        body = self._body(step, machine)
        if "photo" in step:
            body["photos"] = [self._maker.photo(step["photo"], step["by"], now)]
        result = self._maker.put(step["kind"], machine.number, body, step["by"], now)
        line = step["body"].get("line") or body.get("item")
        _follow(machine, step["kind"], line, result.id)

    def _body(self, step: Plain, machine: Machine) -> dict[str, Any]:
        """Return the body with what only now is known: ids, readings, instants."""
        body = {name: value for name, value in step["body"].items() if name != "line"}
        if line := step["body"].get("line"):
            body["defects"] = self._maker.standing(machine.number, line)
        if "until" in body:
            body["until"] = instant.text(self._instant(body["until"]))
        if "hours" in body:
            body["until_hours"] = machine.reading + body.pop("hours")
        return body | self._stated(step["kind"], body, machine)

    def _stated(self, kind: str, body: Plain, machine: Machine) -> dict[str, Any]:
        if kind == "service":
            return {"hours": machine.reading}
        if kind == "release":
            return {"hold": machine.ends[HOLD]}
        if kind == "meter_change":
            old, machine.hours = machine.reading, float(body["new"])
            return {"old": old}
        return {}


def _follow(machine: Machine, kind: str, line: str | None, entry: str) -> None:
    """Note what an entry does to the unit, so that nobody works with it meanwhile."""
    if kind == "hold":
        machine.down.add(HOLD)
        machine.ends[HOLD] = entry
    elif kind == "release":
        machine.down.discard(HOLD)
    elif kind == "lay_up":
        machine.down.add(LAY_UP)
    elif kind == "defect" and line:
        machine.down.add(line)
    elif kind in ("clear", "defer") and line:
        machine.down.discard(line)
        machine.carried.discard(line)
        machine.carried |= {line} if kind == "defer" else set()


def _known(made: Plain, found: Any) -> dict[str, Plain]:
    answers: Mapping[str, Plain] = made.get("answers", {})
    return {item: given for item, given in answers.items() if found.item(item)}


def _minutes(minutes: float) -> int:
    return int(minutes * instant.MINUTE)
