"""Three hundred entries over bad lines to a server that is killed: all arrive, once, in order.

`FAULTS=7 bash tests/run tests/faults` tries a seed of your own. What the lines do to each phone's
requests follows from the seed; how the phones meet each other hangs on the machine as well.
"""

import itertools
import json
import os
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from tests import make
from tests.bench.saying import say
from tests.door import told
from tests.faults.line import FATES
from tests.faults.run import KILLS, Run, run
from tests.faults.site import Ground, open_ground
from tests.faults.work import SOUND, WORN, standing
from tests.tables import Tables, facts_in
from walkaround import clock
from walkaround.store.models import PhotoRow, RefusedRow

GIVEN = [int(os.environ["FAULTS"])] if "FAULTS" in os.environ else []
SEEDS = GIVEN or [1, 2, 3]
MANY_SEEDS = GIVEN or range(4, 26)


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Ground:
    return open_ground(tmp_path_factory.mktemp("ground"))


@pytest.mark.parametrize("seed", SEEDS)
def test_bad_lines_and_a_dying_server_lose_nothing(seed: int, ground: Ground, tmp_path: Path):
    all_arrives(seed, ground, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("seed", MANY_SEEDS)
def test_nor_do_they_with_many_seeds(seed: int, ground: Ground, tmp_path: Path):
    all_arrives(seed, ground, tmp_path)


def all_arrives(seed: int, ground: Ground, folder: Path) -> None:
    done = run(ground, folder / "site", seed)
    say(f"seed {seed}: {done.kills} kills with {done.caught} requests under way; ")
    say(", ".join(f"{fate} {count}" for fate, count in sorted(done.happened.items())))

    it_was_as_bad_as_it_says(done)
    book = logbook(done)
    every_entry_is_there_once(done, book)
    each_phone_stands_in_its_order(book, done)
    every_photo_is_whole(done)
    the_tables_follow_from_the_entries(done)
    all_stands_as_without_faults(done, ground, folder / "other")


def it_was_as_bad_as_it_says(done: Run) -> None:
    assert done.kills >= KILLS
    assert done.caught > 0
    assert set(FATES) | {"broken off by the server's death"} <= set(done.happened)


def logbook(done: Run) -> list[dict[str, Any]]:
    """Return all entries of the site, after their chains were verified."""
    done.site.command("logbook", "verify")
    file = done.site.data / "export.jsonl"
    done.site.command("logbook", "export", "--out", str(file))
    return [json.loads(line) for line in file.read_text().splitlines()]


def every_entry_is_there_once(done: Run, book: list[dict[str, Any]]) -> None:
    """All that was sent was acknowledged, nothing was refused, and nothing else is there."""
    sent = {made.id: made.entry for made in done.made}
    assert len(sent) == 300
    assert done.results.keys() == sent.keys()
    assert set(done.results.values()) == {"accepted", "known"}
    assert Counter(entry["id"] for entry in book) == Counter(sent.keys())
    for entry in book:
        assert {name: entry[name] for name in sent[entry["id"]]} == sent[entry["id"]]
        assert entry["signature"] == "confirmed"
    by = {phone.work.device: make.CREW[phone.work.holder][0] for phone in done.phones}
    assert all(entry["by"] == by[entry["device"]] for entry in book)
    with done.site.door(clock.now()) as door:
        assert door.db.scalars(select(RefusedRow)).all() == []


def each_phone_stands_in_its_order(book: list[dict[str, Any]], done: Run) -> None:
    """Of two entries of a phone on a unit the one made first stands first.

    But what tags it out may stand before what was made earlier and does not: it is sent first.
    """
    stops, books = {made.id: made.stops for made in done.made}, {}
    for entry in book:
        books.setdefault((entry["unit"], entry["device"]), []).append(entry)
    for one in books.values():
        for above, below in itertools.combinations(one, 2):
            assert above["seq"] < below["seq"]
            assert above["n"] < below["n"] or (stops[above["id"]] and not stops[below["id"]])


def every_photo_is_whole(done: Run) -> None:
    photos = {name: photo for phone in done.phones for name, photo in phone.work.photos.items()}
    for name, photo in photos.items():
        kept = done.site.data / "photos" / name[:2]
        assert (kept / f"{name}.sent").read_bytes() == photo
        assert (kept / f"{name}.jpg").is_file()
    with done.site.door(clock.now()) as door:
        assert set(door.db.scalars(select(PhotoRow.sha256))) == set(photos)


def the_tables_follow_from_the_entries(done: Run) -> None:
    before = tables(done)
    done.site.command("logbook", "replay")
    assert tables(done) == before


def tables(done: Run) -> Tables:
    with done.site.door(clock.now()) as door:
        return facts_in(door.db)


def all_stands_as_without_faults(done: Run, ground: Ground, folder: Path) -> None:
    """The same entries, put in one after the other, give the same verdicts; and those by hand."""
    other, now = ground.copy(folder), clock.now()
    with other.door(now) as quiet, done.site.door(now) as stormy:
        for phone in done.phones:
            for made in phone.work.made:
                assert quiet.post(made.entry, phone.work.holder, sent_at=now).result == "accepted"
        for unit, stopped_by in standing(done.made).items():
            found = stormy.verdict(unit)
            assert told(found) == told(quiet.verdict(unit))
            assert found.state == ("tagged_out" if stopped_by else "ok_to_run")
            named = [{*reason.defects, reason.hold} - {None} for reason in found.reasons]
            assert set().union(*named) == stopped_by
        assert {stormy.verdict(unit).state for unit in SOUND} == {"ok_to_run"}
        assert "tagged_out" in {stormy.verdict(unit).state for unit in WORN}
