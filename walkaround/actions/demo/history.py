"""The sixty days before the present shift: who walked what, what failed, what was done about it."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import partial
from zoneinfo import ZoneInfo

from walkaround.actions.demo.agenda import Agenda
from walkaround.actions.demo.machine import Machine
from walkaround.actions.demo.maker import Maker
from walkaround.actions.demo.repairs import Repairs
from walkaround.actions.demo.walks import END, Round, checklist, walk
from walkaround.rules import instant
from walkaround.rules.shift import Shift
from walkaround.store.demo_site import Plain

FAILS, REMARKS = 0.035, 0.05  # of walks
WALKED_TO_THE_END, FILLED = 0.25, 0.4  # of shifts that a unit worked
APART = 13 * instant.MINUTE
AT_WEEKENDS = {5: 0.45, 6: 0.15}  # of the units, in the first shift alone


class History:
    """Plans each shift when its time has come, since a unit that is down works in none."""

    def __init__(
        self, maker: Maker, fleet: Mapping[str, Machine], agenda: Agenda, repairs: Repairs
    ):
        self._maker, self._fleet, self._agenda = maker, fleet, agenda
        self._repairs = repairs
        self._walked: dict[str, int] = {}

    def plan(self, shift: Shift, _now: int) -> None:
        """Let a shift's crew walk round its units, one after the other."""
        chance = self._maker.chance
        crew = self._maker.site.crew(self._maker.site.place(shift.start), "operator")
        free = {by: shift.start - self._minutes(38, 52) for by in crew}
        working = self._working(shift)
        chance.shuffle(working)
        for place, machine in enumerate(working):
            by, takes = crew[place % len(crew)], round(chance.uniform(6, 14), 1)
            free[by] += int(takes * instant.MINUTE) + self._minutes(1, 4)
            made = Round(by, shift.start, takes)
            self._agenda.add(free[by], partial(self._start, machine, made))
            after = place // len(crew) * APART  # one after the other at the end as well
            over = shift.end - self._minutes(62, 65) - after
            self._agenda.add(over, partial(self._end, machine, made))

    def _working(self, shift: Shift) -> list[Machine]:
        zone, chance = ZoneInfo(self._maker.site.zone), self._maker.chance
        weekday = datetime.fromtimestamp(shift.start / 1000, zone).weekday()
        place = self._maker.site.place(shift.start)
        if weekday in AT_WEEKENDS and place > 0:
            return []
        share = AT_WEEKENDS.get(weekday, 0.93)
        planned = [one for one in self._fleet.values() if place in one.plan["shifts"]]
        return [one for one in planned if chance.random() < share]

    def _start(self, machine: Machine, made: Round, now: int) -> None:
        if machine.down:
            return
        fault = self._fault(machine, now)
        found = fault or self._remark(machine)
        answers = {found["item"]: _answer(found, failed=fault is not None)} if found else {}
        walk(self._maker, machine, Round(made.by, made.shift, made.minutes, answers), now)
        if fault:
            machine.down.add(fault["item"])
            self._repairs.follow(machine, fault, made.by, now)
        else:
            self._walked[machine.number] = made.shift

    def _fault(self, machine: Machine, now: int) -> Plain | None:
        """Return what fails now: the unit's habit when it is due, else something by chance."""
        if now >= machine.quiet_from:
            return None
        habit = machine.plan.get("habit")
        if habit and now >= machine.failed_at + habit["days"] * instant.DAY:
            machine.failed_at += habit["days"] * instant.DAY
            return next(one for one in self._maker.site.faults if one["item"] == habit["item"])
        if self._maker.chance.random() >= FAILS:
            return None
        faults = [one for one in self._maker.site.faults if not one.get("only_habit")]
        return self._one_of(faults, machine)

    def _remark(self, machine: Machine) -> Plain | None:
        if self._maker.chance.random() >= REMARKS:
            return None
        return self._one_of(self._maker.site.remarks, machine)

    def _one_of(self, known: Sequence[Plain], machine: Machine) -> Plain | None:
        """Return one whose item the unit's list has and whose finding that item knows."""
        found, taken = checklist(self._maker, machine), machine.carried | machine.down
        fitting = []
        for one in known:
            item = found.item(one["item"])
            if (
                item
                and one["item"] not in taken
                and set(one.get("findings", ())) <= set(item.findings)
            ):
                fitting.append(one)
        return self._maker.chance.choice(fitting) if fitting else None

    def _end(self, machine: Machine, made: Round, now: int) -> None:
        """A unit that worked has more hours, is walked after the shift, and filled up."""
        if self._walked.get(machine.number) != made.shift:
            return
        maker, chance = self._maker, self._maker.chance
        worked = machine.plan["works"] * chance.uniform(0.75, 1.0)
        machine.hours += worked
        if machine.down:
            return
        if chance.random() < WALKED_TO_THE_END:
            takes = round(chance.uniform(5, 9), 1)
            walk(maker, machine, Round(made.by, made.shift, takes, occasion=END), now)
        if machine.plan["burns"] and chance.random() < FILLED:
            self._fill(machine, made.by, worked, now + self._minutes(2, 9))

    def _fill(self, machine: Machine, by: str, worked: float, now: int) -> None:
        chance = self._maker.chance
        diesel = round(machine.plan["burns"] * worked * chance.uniform(0.9, 1.5))
        amounts = {"diesel": float(diesel)}
        if chance.random() < 0.3 and "def-level" not in machine.plan.get("without", ()):
            amounts["def"] = round(diesel * 0.11, 1)
        if chance.random() < 0.06:
            amounts["engine_oil"] = chance.choice([0.5, 1.0, 1.5])
        for fluid, litres in amounts.items():
            body = {"fluid": fluid, "litres": litres, "hours": machine.reading}
            self._agenda.add(
                now, partial(self._maker.put, "fill", machine.number, body | _full(fluid), by)
            )

    def _minutes(self, least: float, most: float) -> int:
        return int(self._maker.chance.uniform(least, most) * instant.MINUTE)


def _answer(found: Plain, *, failed: bool) -> dict[str, object]:
    given = {name: found[name] for name in ("findings", "note", "value", "photo") if name in found}
    if "value" in found:
        return given
    return {"answer": "defect" if failed else "in_order", **given}


def _full(fluid: str) -> dict[str, object]:
    return {"to_full": True} if fluid == "diesel" else {}
