"""What a phone shows without a signal is never laxer than what the office says of the same."""

import random
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests import make
from tests.door import MILAN, OLGA, SARA
from tests.history import History
from tests.scripts import Scripts
from tests.test_history import SLOW, WHAT, Histories
from tests.unheard import Office, Unheard
from walkaround.app import create_app
from walkaround.config import Config
from walkaround.rules import instant
from walkaround.rules.instant import DAY, HOUR, MINUTE
from walkaround.rules.verdict import STATES
from walkaround.store.db import make_engine

# How far the office's clock is ahead of the phone's: two clocks count as one up to 2 minutes.
FAR = (MINUTE, 90 * MINUTE, 3 * HOUR, 2 * DAY)
OFF = (0, 0, 0, 0, *FAR, *(-by for by in FAR))
STEPS = (0, 1, 10, 10, 20, 20, 30, 60, 60, 240, 481)  # minutes
CHANCES = st.integers(0, 2**32 - 1).map(random.Random)


@pytest.fixture
def office(tmp_path: Path) -> Office:
    engine = make_engine("sqlite://")
    lists = tmp_path / "lists"
    lists.mkdir()
    return Office(create_app(Config(data=tmp_path, checklists=lists), engine), engine)


def test_a_phone_is_never_laxer_than_the_office(scripts: Scripts, office: Office):
    said = shown_in(scripts, office, examples=60)

    assert sum(n for state, n in said.items() if state.startswith("ok")) > said.total() / 10, said


@pytest.mark.long
def test_a_phone_is_never_laxer_in_a_thousand_histories(scripts: Scripts, office: Office):
    said = shown_in(scripts, office, examples=1000)

    assert sum(n for state, n in said.items() if state.startswith("ok")) > said.total() / 10, said


def shown_in(scripts: Scripts, office: Office, examples: int) -> Counter[str]:
    """Return how often a phone says what, while it never says more than the office."""
    said: Counter[str] = Counter()

    @settings(
        max_examples=examples,
        deadline=None,
        database=None,
        suppress_health_check=SLOW,
        phases=[Phase.generate],
        print_blob=True,
    )
    @given(CHANCES)
    def goes_on(chance: random.Random) -> None:
        unit = chance.choice(["L07", "L07", "L07", "D02"])
        with office.begun() as history:
            make_up(history, chance, unit)
            site, off = office.tell(history, chance), chance.choice(OFF)
            phone = Unheard(history, scripts, chance, site, unit, off)
            for _ in range(chance.randint(2, 6)):
                history.door.now += chance.choice(STEPS) * MINUTE
                do_something(phone, chance)
                said[compared(phone)] += 1

    goes_on()
    return said


def compared(phone: Unheard) -> str:
    phone.arrive()
    shown = phone.shown()
    real = phone.history.door.verdict(phone.number, at=phone.office_time)

    state, both = str(shown["state"]), f"{shown}\n{real}"
    assert STATES.index(state) <= STATES.index(real.state), both
    assert not state.startswith("ok") or shown["until"] <= (real.valid_until or 0), both
    return state


def make_up(history: History, chance: random.Random, unit: str) -> None:
    """Let a lot happen on a site, which is mostly tidied up after it."""
    machine = Histories(history)
    for what in chance.choices(WHAT, k=chance.choice([0, 0, 5, 20])):
        machine.goes_on(chance=chance, unit=unit, what=what)
    history.door.now += chance.choice([0, 30, 200, 400]) * MINUTE
    if chance.random() < 0.9:
        history.tidy_up(unit, chance)
    if chance.random() < 0.5:
        let_run(history, chance, unit)
    if chance.random() < 0.1:
        history.walk(OLGA, unit, chance, 0)
    if chance.random() < 0.2:
        repair(history, unit)


def let_run(history: History, chance: random.Random, unit: str) -> None:
    """Find things wrong and defer each of them by itself, perhaps across a change of meters."""
    for item in chance.sample(["seat", "seat", "horn", "pressure"], chance.randint(1, 3)):
        found = tell(history, unit, OLGA, "defect", {"item": item, "what": "w"})
        until = history.door.now + chance.choice([20, 100, 100, 600, 3000]) * MINUTE
        hours = chance.choice([None, None, None, 86.0, 90.0, 130.0])
        body = {"defects": [found], "restrictions": "slowly"}
        body |= {"until": instant.text(until), "until_hours": hours}
        tell(history, unit, MILAN, "defer", body)
        history.door.now += MINUTE
        if hours == 130.0:
            tell(history, unit, SARA, "meter_change", {"old": 126.3, "new": 2.1, "note": "n"})


def repair(history: History, unit: str) -> None:
    """Repair something critical on a site that wants such repairs looked at again."""
    history.set_site("second_look", "on")
    found = tell(history, unit, OLGA, "defect", {"what": "w", "critical": True})
    made = {"defects": [found], "outcome": "repaired", "work": "w"}
    tell(history, unit, MILAN, "clear", made)


def tell(history: History, unit: str, by: str, kind: str, body: dict[str, Any]) -> str:
    sent = make.entry(kind, body, unit=unit) | {"made_at": instant.text(history.door.now)}
    history.door.post(sent, by)
    return str(sent["id"])


def do_something(phone: Unheard, chance: random.Random) -> None:
    what = chance.choice(["walk"] * 10 + ["hours"] * 2 + ["defect", "clear"] + [""] * 6)
    if what == "walk":
        phone.walk(chance.choice([0, 8, 8, 30, 90]))
        if chance.random() < 0.05:
            phone.sign_out()
    elif what == "hours":
        phone.record("hours", {"value": chance.choice([3.0, 5.8, 5.8, 85.0, 86.0])}, [])
    elif what == "defect":
        phone.record("defect", {"item": "seat", "what": "w"}, [{"item": "seat", "text": "w"}])
    elif what == "clear":
        phone.clear()
