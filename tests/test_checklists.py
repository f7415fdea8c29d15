"""The lists that are shipped: the walk, and what published rules ask for.

The tables of rules were written by hand from the text of the rules, not from the lists' `refs`.
"""

import re
from functools import cache
from pathlib import Path

import pytest

from walkaround.rules.checklist import Checklist, Item
from walkaround.rules.checklist_format import KEYS
from walkaround.store.checklists_yaml import read_file, read_folder

FOLDER = Path(__file__).parent.parent / "checklists"
FILES = sorted(path.stem for path in FOLDER.glob("*.yaml"))


@cache
def shipped(name: str) -> Checklist:
    """Return a shipped list."""
    return read_file(FOLDER / f"{name}.yaml")


def of_item(item: Item, language: str) -> str:
    """Return what an item says of itself before it is answered."""
    return " ".join(text[language] for text in (item.look, item.how, item.good) if text)


def due_every_day(name: str) -> list[Item]:
    """Return the items of a day on which none that waits for its time is due."""
    return [item for item in shipped(name).items if not (item.measure and item.measure.every)]


def place_of(name: str) -> dict[str, int]:
    """Return at which place of the walk each item stands."""
    return {item.name: place for place, item in enumerate(shipped(name).items)}


def test_the_folder_has_no_error() -> None:
    folder = read_folder(FOLDER)

    assert folder.errors == []
    assert sorted(held.file.removesuffix(".yaml") for held in folder.documents) == FILES


def test_every_block_is_used() -> None:
    lists = "".join(file.read_text() for file in FOLDER.rglob("*.yaml"))

    for block in (FOLDER / "blocks").glob("*.yaml"):
        assert f"include: blocks/{block.name}" in lists


def test_a_plain_day_at_the_wheel_loader_has_36_items() -> None:
    assert len(due_every_day("wheel-loader-start")) == 36


def test_the_four_tyre_pressures_come_on_top_every_seven_days() -> None:
    weekly = [
        item for item in shipped("wheel-loader-start").items if item.name.endswith("pressure")
    ]

    assert len(weekly) == 4
    assert {item.measure and item.measure.every for item in weekly} == {7 * 24 * 60 * 60 * 1000}
    assert len(shipped("wheel-loader-start").items) == 40


def test_the_walk_goes_once_round_then_up_then_away() -> None:
    walk = [(station.name, station.engine) for station in shipped("wheel-loader-start").stations]

    assert walk == [
        ("from-a-distance", "stopped"),
        ("front-left", "stopped"),
        ("left-side", "stopped"),
        ("rear-engine", "stopped"),
        ("right-side", "stopped"),
        ("front-right", "stopped"),
        ("front-bucket", "stopped"),
        ("cab-steps", "stopped"),
        ("cab", "stopped"),
        ("cab-first-run", "running"),
        ("cab-open-place", "running"),
    ]


# 29 CFR 1926.602(a), earthmoving equipment. READ: a print of the section, (1) to (4); summaries of
# (9) and (10). MEMORY: (5) to (8). None: no part of a loader that an operator can look at.
OSHA_1926_602_A: list[tuple[str, str, tuple[str, ...] | None]] = [
    ("(1)", "scope: loaders are among these machines", None),
    ("(2)(i)", "seat belts are provided", ("seat-belt",)),
    ("(3)", "access roads and grades: the site's, not the machine's", None),
    ("(4)", "service brakes stop and hold the loaded machine", ("service-brake",)),
    ("(5)", "fenders of haulage machines: not of loaders", None),
    ("(6)", "roll-over protection", ("rops-fops",)),
    ("(7)", "roll-over protection of off-highway trucks: not of loaders", None),
    ("(8)", "dates from which (4) and (5) hold", None),
    ("(9)(i)", "a horn heard over the noise, kept working at all times", ("horn",)),
    ("(9)(ii)", "reverse alarm where the view to the rear is obstructed", ("reverse-alarm",)),
    ("(10)", "scissor points of front-end loaders are guarded", ("lift-arms-and-pins",)),
]

# 30 CFR part 56. READ: 56.14100, 56.14103 (twin 57.14103), 56.14106, 56.14107, 56.14130(a) to (e),
# 56.14132. READ in an agency's policy text: 56.14101(a). MEMORY: 56.14130(f) to (i).
MSHA_56: list[tuple[str, str, tuple[str, ...] | None]] = [
    (
        "56.14100(a)",
        "inspected by its operator before it works in the shift",
        ("leaks-underneath",),
    ),
    ("56.14100(b)", "defects that affect safety are corrected: the mechanic's part", None),
    ("56.14100(c)", "taken out of service and tagged: the verdict's part", None),
    ("56.14100(d)", "defects not corrected at once are recorded: the logbook's part", None),
    ("56.14101(a)(1)", "service brake stops and holds", ("service-brake",)),
    ("56.14101(a)(2)", "parking brake holds", ("parking-brake",)),
    ("56.14101(a)(3)", "every brake part is kept functional", ("service-brake", "parking-brake")),
    ("56.14101(b)", "stopping distances: a test with a measured course, not a walk-around", None),
    ("56.14103(a)", "windows are of safety glass and kept clear", ("windows-and-wipers",)),
    ("56.14103(b)", "damaged glass is replaced or taken out", ("windows-and-wipers",)),
    ("56.14103(c)", "the operator's place is free of what impairs safety", ("seat-and-floor",)),
    ("56.14106(a)", "falling-object protection", ("rops-fops",)),
    ("56.14106(b)", "strong enough for what falls: no damage that weakens it", ("rops-fops",)),
    ("56.14107(a)", "moving parts, fan blades too, are guarded", ("guards-and-covers",)),
    ("56.14107(b)", "no guard where parts are seven feet away", None),
    ("56.14130(a)", "wheel loaders have ROPS and seat belts", ("rops-fops", "seat-belt")),
    ("56.14130(b)", "how a ROPS is built: the maker's part", None),
    ("56.14130(c)", "the ROPS has its label", ("rops-fops",)),
    ("56.14130(d)", "how a ROPS is installed: the maker's part", None),
    ("56.14130(e)", "the ROPS is neither damaged nor altered", ("rops-fops",)),
    ("56.14130(f)", "machines that need none: not loaders in work", None),
    ("56.14130(g)", "the operator wears the belt: conduct, named at the station", None),
    ("56.14130(h)", "how a seat belt is built: the maker's part", None),
    ("56.14130(i)", "seat belts are kept functional", ("seat-belt",)),
    ("56.14132(a)", "the horn is kept functional", ("horn",)),
    ("56.14132(b)(1)", "reverse alarm where the view is obstructed", ("reverse-alarm",)),
    ("56.14132(b)(2)", "alarms are heard over the surrounding noise", ("reverse-alarm",)),
    ("56.14132(b)(3)", "a strobe may stand for the alarm at night: the site's choice", None),
    ("56.14132(c)", "rail equipment: not of loaders", None),
]

# What the named item must speak of, so that a renamed or emptied item does not pass for covered.
SPEAKS_OF = {
    "seat-belt": "buckle",
    "service-brake": "stops",
    "parking-brake": "creep",
    "rops-fops": "crack",
    "horn": "over the engine",
    "reverse-alarm": "over the engine",
    "guards-and-covers": "fan",
    "lift-arms-and-pins": "shear point",
    "windows-and-wipers": "clear",
    "seat-and-floor": "nothing loose",
    "leaks-underneath": "ground",
}


COVERED = [row for row in OSHA_1926_602_A + MSHA_56 if row[2]]


@pytest.mark.parametrize(("clause", "part", "items"), COVERED)
def test_the_start_list_covers_the_rule(clause: str, part: str, items: tuple[str, ...]) -> None:
    checklist = shipped("wheel-loader-start")

    for name in items:
        item = checklist.item(name)
        assert item is not None, (clause, part)
        assert SPEAKS_OF[name] in of_item(item, "en").lower(), (clause, part)


def test_refs_name_only_clauses_that_the_tables_know() -> None:
    known = {f"29 CFR 1926.602(a){clause}" for clause, _, _ in OSHA_1926_602_A}
    known |= {f"30 CFR {clause}" for clause, _, _ in MSHA_56}
    # READ: 56.14206(b), buckets are lowered when unattended. MEMORY: 56.14207, parking.
    known |= {"30 CFR 56.14206(b)", "30 CFR 56.14207"}

    # The lists of other machines are held to tables of their own in tests/coverage.
    for name in [name for name in FILES if name.startswith(("wheel-loader", "any"))]:
        for ref in (ref for item in shipped(name).items for ref in item.refs):
            assert any(clause.startswith(ref) for clause in known), ref


def test_what_can_kill_at_once_cannot_be_deferred() -> None:
    critical = {item.name for item in shipped("wheel-loader-start").items if item.critical}

    # Common practice, no source. For the reverse alarm 56.14132(b)(1)(iv) allows an observer.
    assert critical >= {"service-brake", "parking-brake", "steering", "seat-belt", "rops-fops"}
    assert critical >= {"quick-coupler-lock", "quick-coupler-test", "articulation-lock"}
    assert "reverse-alarm" not in critical


def test_a_torn_seat_need_not_stop_a_shift() -> None:
    seat = shipped("wheel-loader-start").item("seat-and-floor")

    assert seat is not None
    assert "torn" in seat.findings
    assert not seat.critical


@pytest.mark.parametrize("name", ["wheel-loader-end", "any-end"])
def test_the_purge_ends_before_the_isolator_is_opened(name: str) -> None:
    place = place_of(name)
    order = ["attachment-down", "parking-brake-set", "idle-down", "key-off", "purge-wait"]
    order += ["isolator-off", "chocks"]

    assert sorted(order, key=place.__getitem__) == order


# Common practice, no source: about 80 seconds for the purge, a few minutes of idling.
@pytest.mark.parametrize(("item", "seconds"), [("purge-wait", 80), ("idle-down", 180)])
@pytest.mark.parametrize("name", ["wheel-loader-end", "any-end"])
def test_a_wait_has_a_clock_and_leaves_the_last_word_to_the_manual(
    name: str, item: str, seconds: int
) -> None:
    found = shipped(name).item(item)

    assert found is not None
    assert found.timer == seconds
    assert "maker's manual" in of_item(found, "en")
    assert "manual del fabricante" in of_item(found, "es")


def test_what_not_every_loader_has_may_be_called_not_fitted() -> None:
    optional = {item.name for item in shipped("wheel-loader-start").items if item.optional}

    assert optional == {
        "quick-coupler-lock",
        "quick-coupler-test",
        "def-level",
        "windows-and-wipers",
    }


def test_the_first_list_of_the_documentation_is_ten_lines_and_right(tmp_path: Path) -> None:
    example = re.findall(r"```yaml\n(.*?)```", (FOLDER / "README.md").read_text(), re.DOTALL)[0]
    file = tmp_path / "roller-start.yaml"
    file.write_text(example)

    assert [item.name for item in read_file(file).items] == ["scraper"]
    assert example.count("\n") == 10


@pytest.mark.parametrize("noun", ["checklist", "station", "item", "measure"])
def test_every_key_is_documented(noun: str) -> None:
    documented = (FOLDER / "README.md").read_text()

    for key in KEYS[noun]:
        assert re.search(rf"^\|[^|]*`{key}`", documented, re.MULTILINE), key
