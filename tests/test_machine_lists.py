"""The shipped lists as a good foreman would read them: the order of the walk, and nothing twice."""

import re
from collections import Counter

import pytest

from tests.coverage.rules import APPLIES
from tests.test_checklists import FILES, due_every_day, of_item, shipped

MACHINES = [machine.replace(" ", "-") for machine in APPLIES]
ATTACHMENTS = [
    "wheel-loader",
    "excavator",
    "telehandler",
    "electric-forklift",
    "combustion-forklift",
]


def test_every_machine_has_its_lists_and_there_is_one_for_any_other() -> None:
    wanted = [f"{machine}-{when}" for machine in [*MACHINES, "any"] for when in ("start", "end")]

    assert sorted([*wanted, *(f"{machine}-attachment" for machine in ATTACHMENTS)]) == FILES


@pytest.mark.parametrize("name", FILES)
def test_the_file_says_what_machine_and_occasion_it_is_for(name: str) -> None:
    machine, _, when = name.rpartition("-")
    occasions = {"start": "start_of_shift", "end": "end_of_shift"}

    assert shipped(name).machine == machine.replace("-", " ")
    assert shipped(name).occasion == occasions.get(when, "attachment_change")


@pytest.mark.parametrize("machine", MACHINES)
def test_a_walk_at_the_start_has_25_to_45_items(machine: str) -> None:
    assert 25 <= len(due_every_day(f"{machine}-start")) <= 45


@pytest.mark.parametrize("machine", MACHINES)
def test_eight_items_or_more_are_of_this_machine_alone(machine: str) -> None:
    starts = [f"{other}-start" for other in MACHINES]
    lists = Counter(item.name for name in starts for item in shipped(name).items)

    own = [item.name for item in shipped(f"{machine}-start").items if lists[item.name] == 1]

    assert len(own) >= 8, own


@pytest.mark.parametrize("name", FILES)
def test_nothing_is_asked_twice_in_other_words(name: str) -> None:
    looks = [item.look["en"].lower() for item in shipped(name).items]

    assert len(set(looks)) == len(looks)


@pytest.mark.parametrize("machine", MACHINES)
def test_the_walk_goes_round_once_climbs_then_starts_the_engine(machine: str) -> None:
    """Round once: no side is left and come back to, and nobody crosses in front twice."""
    stations = shipped(f"{machine}-start").stations
    names = [station.name for station in stations]
    engine = [station.engine for station in stations]
    sides = [
        word for name in names for word in re.findall(r"left|right", name) if "cab" not in name
    ]

    assert names[0] == "from-a-distance"
    assert engine == sorted(engine, key=["stopped", "running"].index)
    assert "running" in engine
    assert sum(a != b for a, b in zip(sides, sides[1:], strict=False)) <= 1, sides
    assert any("steps" in name or "cab" in name for name in names)


# Common practice, no source: what can kill at once. Named by what the item is called.
DEADLY = r"service-brake|parking-brake|steering|tyre-(?!.*(pressure|tread))|seat-belt|rops"
DEADLY += r"|overhead-guard|extinguisher|fuel-leaks|guards|forks|fork-heels|mast-chains"
DEADLY += r"|quick-coupler|stick-coupler|carriage-pin|trailer-coupling|trailer-tug"
DEADLY += r"|lift-arms|boom-and-stick-pins|push-arm|articulation|grader-frame-lock|dumper-hitch"
DEADLY += r"|secondary-(?!.*lamp)|slew-brake|travel-stop|leaks-underneath|engine-bay|gas-"


@pytest.mark.parametrize("machine", MACHINES)
def test_what_can_kill_at_once_cannot_be_deferred(machine: str) -> None:
    items = shipped(f"{machine}-start").items
    deadly = [item for item in items if re.match(DEADLY, item.name)]

    assert len(deadly) >= 6
    assert [item.name for item in deadly if not item.critical] == []


@pytest.mark.parametrize("name", FILES)
def test_a_seal_that_is_only_damp_can_be_deferred(name: str) -> None:
    """Common practice, no source; what stops a truck whose engine died is held to more."""
    critical = [
        item for item in shipped(name).items if item.critical and "weeping" in item.findings
    ]

    assert {item.name for item in critical} <= {"accumulators"}


@pytest.mark.parametrize("machine", ATTACHMENTS)
def test_a_change_of_attachment_ends_with_a_proof_by_eye_and_by_load(machine: str) -> None:
    found = shipped(f"{machine}-attachment")
    words = " ".join(of_item(item, "en") for item in found.items).lower()

    assert 4 <= len(found.items) <= 12
    assert sum(item.critical for item in found.items) >= 2
    assert "by eye" in words
    assert "maker's manual" in words


@pytest.mark.parametrize("name", FILES)
def test_every_list_says_that_it_makes_no_machine_legal(name: str) -> None:
    cautions = " ".join(caution["en"] for caution in shipped(name).cautions)

    assert "Site rules, local law and the maker's manual come first" in cautions
    assert "no machine legal or safe" in cautions


@pytest.mark.parametrize("name", FILES)
def test_every_item_has_a_sign_beside_its_words(name: str) -> None:
    assert [item.name for item in shipped(name).items if not item.sign] == []
