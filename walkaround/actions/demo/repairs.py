"""What becomes of a defect: cleared within hours or days, sometimes deferred before that."""

from functools import partial

from walkaround.actions.demo.agenda import Agenda
from walkaround.actions.demo.machine import Machine
from walkaround.actions.demo.maker import Maker
from walkaround.actions.demo.walks import checklist
from walkaround.rules import instant
from walkaround.rules.shift import Roster
from walkaround.store.demo_site import Plain

DEFERRED, NOTHING_FOUND = 0.35, 0.06  # of defects; only some kinds can be deferred
CRITICAL_WITHIN, OTHERS_WITHIN = (0.7, 9), (1, 40)  # hours
CALM = 4 * instant.HOUR


class Repairs:
    """Mechanics of the shift do the work; at night a defect waits for the morning."""

    def __init__(self, maker: Maker, agenda: Agenda, roster: Roster):
        self._maker, self._agenda, self._roster = maker, agenda, roster

    def follow(self, machine: Machine, fault: Plain, finder: str, now: int) -> None:
        """Put on the agenda what a mechanic will do about it."""
        item = checklist(self._maker, machine).item(fault["item"])
        hours = CRITICAL_WITHIN if item and item.critical else OTHERS_WITHIN
        at = self._workday(now + self._hours(*hours), machine)
        may_wait = "restrictions" in fault and item is not None and not item.critical
        if may_wait and self._maker.chance.random() < DEFERRED:
            self._agenda.add(at, partial(self._defer, machine, fault))
        else:
            self._agenda.add(at, partial(self._clear, machine, fault, finder))

    def _defer(self, machine: Machine, fault: Plain, now: int) -> None:
        body = {
            "defects": self._maker.standing(machine.number, fault["item"]),
            "restrictions": fault["restrictions"],
            "until": instant.text(now + 5 * instant.DAY),
        }
        self._maker.put("defer", machine.number, body, self._mechanic(now), now)
        machine.down.discard(fault["item"])
        machine.carried.add(fault["item"])
        at = self._workday(now + self._hours(20, 90), machine)
        self._agenda.add(at, partial(self._clear, machine, fault, None))

    def _clear(self, machine: Machine, fault: Plain, finder: str | None, now: int) -> None:
        nothing = self._maker.chance.random() < NOTHING_FOUND
        body = {
            "defects": self._maker.standing(machine.number, fault["item"]),
            "outcome": "no_fault_found" if nothing else "repaired",
            "work": "Looked at it twice, hot and cold: nothing." if nothing else fault["work"],
            "hours": machine.reading,
        }
        if "parts" in fault and not nothing:
            body["parts"] = fault["parts"]
        able = finder is not None and "mechanic" in self._maker.site.person(finder)["roles"]
        by = finder if able and finder else self._mechanic(now)
        self._maker.put("clear", machine.number, body, by, now)
        machine.down.discard(fault["item"])
        machine.carried.discard(fault["item"])

    def _workday(self, at: int, machine: Machine) -> int:
        """Return when a mechanic is there, and before chance has to have left the unit."""
        while not self._there(at) and (shift := self._roster.next(at)):
            at = shift.start + self._hours(0.3, 1.5)
        latest = machine.quiet_from + CALM
        return at if at < latest else latest - self._hours(0, 1)

    def _mechanic(self, at: int) -> str:
        there = self._there(at) or self._maker.site.crew(0, "mechanic")
        return self._maker.chance.choice(there)

    def _there(self, at: int) -> list[str]:
        shift = self._roster.at(at)
        site = self._maker.site
        return site.crew(site.place(shift.start), "mechanic") if shift else []

    def _hours(self, least: float, most: float) -> int:
        return int(self._maker.chance.uniform(least, most) * instant.HOUR)
