"""Histories: whatever people send, in whatever order, however often (design, section 3)."""

import random

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    rule,
    run_state_machine_as_test,
)

from tests import history, naive_verdict
from tests.door import MILAN, OLGA, SARA, plain, told
from tests.history import BODIES, UNITS, History
from tests.tables import facts_in
from walkaround.actions.replay_logbook import replay_logbook
from walkaround.rules import facts as rules
from walkaround.rules.entry import Entry
from walkaround.rules.instant import MINUTE
from walkaround.rules.verdict import STATES, Verdict, verdict
from walkaround.store import entries, logbook, units
from walkaround.store import settings as site_settings

AGO = (0, 0, 0, 1, 1, 2, 5, *history.AGO)  # minutes
WHAT = ["walkaround"] * 8 + ["clear", "defer", "defect"] * 2 + sorted(BODIES)
WHAT += ["again", "other", "late", "late", "time", "time", "time", "site", "tidy", "tidy"]
SITE_VALUES = {
    "shifts": history.SHIFTS,
    "early": ("0", "60", "120"),
    "second_look": ("on", "on", "off"),
}
CHANCES = st.integers(0, 2**32 - 1).map(random.Random)
NUMBERS = st.sampled_from([*["L07"] * 3, "D02"])


class Histories(RuleBasedStateMachine):
    """People send, time goes on, the site changes its mind; after each step all is compared."""

    def __init__(self, of: History | None = None) -> None:
        super().__init__()
        self.history = of or History()
        self.touched = list(UNITS)

    def teardown(self) -> None:
        try:
            for unit in UNITS:
                assert logbook.verify(self.history.door.db, unit) is None
            replay_agrees(self.history)
            leaving_out_never_loosens(self.history)
            order_changes_nothing(self.history)
        finally:
            self.history.close()

    @rule(chance=CHANCES, unit=NUMBERS, what=st.sampled_from(WHAT))
    def goes_on(self, chance: random.Random, unit: str, what: str) -> None:
        """One rule for all: of several, a run leaves some out, and then nobody sends anything."""
        self.touched = list(UNITS)
        step = {"again": self.again, "other": self.other, "late": self.late, "tidy": self.tidy_up}
        step |= {"time": self.time_goes_on, "site": self.the_site_changes_its_mind}
        step.get(what, self.somebody_sends)(chance, unit, what)

    def somebody_sends(self, chance: random.Random, unit: str, kind: str) -> None:
        self.touched = [unit]
        ago = chance.choice(AGO)
        if kind == "walkaround":
            self.history.walk(chance.choice([OLGA, OLGA, MILAN, SARA]), unit, chance, ago)
        elif made := chance.choice(BODIES[kind])(self.history, chance):
            by, body = made
            self.history.send(kind, body, by, chance, unit, ago)

    def tidy_up(self, chance: random.Random, unit: str, _what: str) -> None:
        """Everything is ended, so that histories also reach the states in which a unit runs."""
        self.touched = [unit]
        self.history.tidy_up(unit, chance)

    def late(self, chance: random.Random, _unit: str, _what: str) -> None:
        waiting = self.history.waiting
        if waiting:
            self.history.deliver(waiting.pop(chance.randrange(len(waiting))))

    def other(self, chance: random.Random, _unit: str, _what: str) -> None:
        """Other content comes under an id that is known.

        But no word about somebody's entry: whether that is refused hangs on what is there already.
        """
        sent = [m for m in self.history.sent if m[0]["kind"] not in ("correction", "confirm")]
        if sent:
            first, by, proved, skew = chance.choice(sent[-10:])
            self.history.deliver(({**chance.choice(sent)[0], "id": first["id"]}, by, proved, skew))

    def again(self, chance: random.Random, _unit: str, _what: str) -> None:
        """The same once more is known (or refused once more) and writes nothing but its confirm."""
        if not self.history.sent:
            return
        sent, by, _, skew = chance.choice(self.history.sent)
        before = [len(self.history.naive(unit).log) for unit in UNITS]
        proved = chance.random() < 0.5

        result = self.history.deliver((sent, by, proved, skew))

        logs = [self.history.naive(unit).log[n:] for unit, n in zip(UNITS, before, strict=True)]
        kinds = [entry["kind"] for log in logs for entry in log]
        assert (result, kinds) in [("known", []), ("refused", []), ("known", ["confirm"])]
        assert proved or not kinds

    def time_goes_on(self, chance: random.Random, _unit: str, _what: str) -> None:
        self.history.door.now += chance.choice([1, 5, 5, 30, 30, 240, 481]) * MINUTE

    def the_site_changes_its_mind(self, chance: random.Random, _unit: str, _what: str) -> None:
        what = chance.choice(["clocks", "lists", *SITE_VALUES])
        if what == "clocks":
            self.history.door.now = max(self.history.door.now, history.CLOCK_CHANGE)
        elif what == "lists":
            self.history.take_lists(history.changed_lists(chance.randrange(4)))
        else:
            self.history.set_site(what, chance.choice(SITE_VALUES[what]))

    @invariant()
    def rows_entries_and_brute_force_agree(self) -> None:
        door = self.history.door
        for unit in self.touched:
            found, naive = door.verdict(unit), self.history.naive(unit)  # rows against entries
            assert plain(found) == naive_verdict.verdict(naive, door.now)
            standing = set(naive.standing(door.now).values())
            assert not found.may_run or standing <= {"deferred"}


def replay_agrees(history: History) -> None:
    before = facts_in(history.door.db)
    replay_logbook(history.door.db)
    assert facts_in(history.door.db) == before


def order_changes_nothing(told_of: History) -> None:
    """Send some of it to two new sites at one instant, in two orders."""
    chance = random.Random(len(told_of.sent))
    some = [made for made in told_of.sent if made[0]["unit"] in UNITS]
    some = sorted(chance.sample(range(len(some)), min(40, len(some))))
    in_order = [told_of.sent[place] for place in some]
    mixed = chance.sample(in_order, len(in_order))
    assert standing_after(told_of, in_order) == standing_after(told_of, mixed)


def standing_after(told_of: History, sent: list) -> list:
    """Return how both units stand after these arrivals at a new site, now and later."""
    made = History()
    made.door.now = told_of.door.now
    for name, value in told_of.settings.items():
        made.set_site(name, value)
    made.take_lists(told_of.folder)
    for one in sent:
        made.deliver(one)
    moments = [made.door.now + minutes * MINUTE for minutes in (0, 100, 700)]
    found = [told(made.door.verdict(unit, at)) for unit in UNITS for at in moments]
    made.close()
    return found


ENDINGS = {"clear", "release", "return", "settle"}


def leaving_out_never_loosens(told_of: History) -> None:
    """Leave out an ending, or a walk that found nothing: the unit stands no looser."""
    door = told_of.door
    reader, site = entries.reader(door.db), site_settings.site_rules(door.db)
    for number in UNITS:
        unit = units.find(door.db, number)
        assert unit is not None
        read = [reader.entry(row) for row in door.rows(number)]

        def judge(some: list[Entry], unit=unit) -> Verdict:
            found = rules.gather(some, reader.lists, (unit.machine,), lambda instant: None)
            return verdict(
                rules.facts(found, reader.lists, site, unit.machine, unit.hours), door.now
            )

        whole = judge(read)
        candidates = [entry for entry in read if may_be_left_out(entry, read)]
        for entry in random.Random(len(read)).sample(candidates, min(12, len(candidates))):
            left = judge([one for one in read if one is not entry])
            assert STATES.index(left.state) <= STATES.index(whole.state), entry


def may_be_left_out(entry: Entry, read: list[Entry]) -> bool:
    """Say whether the promise is about this entry.

    Not about a walk that states hours (they end deferrals), nor about a clear of what something
    else is no worse than: by the letter that ending opens the other one again.
    """
    answers = getattr(entry.body, "answers", ())
    if entry.kind == "walkaround":
        clean = all(a.answer in ("in_order", "not_fitted") or a.value == 340 for a in answers)
        return clean and entry.confirmed and entry.body.hours is None
    than = {id for one in read for a in getattr(one.body, "answers", ()) for id in a.than}
    return entry.kind in ENDINGS and than.isdisjoint(getattr(entry.body, "defects", ()))


SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


def run(examples: int, steps: int) -> None:
    run_state_machine_as_test(
        Histories,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            suppress_health_check=SLOW,
            database=None,
            phases=[
                Phase.generate
            ],  # to make a failure smaller takes minutes, and tells little more
            print_blob=True,
        ),
    )


def test_histories():
    run(examples=12, steps=40)


@pytest.mark.long
def test_long_histories():
    run(examples=200, steps=200)


def test_a_history_goes_the_same_on_every_database(both):
    """PostgreSQL at both levels of isolation too; the histories above are in memory."""
    machine, chance = Histories(History(both)), random.Random(2026)

    for what in chance.choices(WHAT, k=60):
        unit = chance.choice(["L07", "L07", "D02"])
        machine.goes_on(chance=random.Random(chance.random()), unit=unit, what=what)
        machine.rows_entries_and_brute_force_agree()

    machine.teardown()
