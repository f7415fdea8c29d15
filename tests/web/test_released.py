"""What a phone of any release sends is taken for ever: it may come back after a season."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests import make
from tests.web.conftest import Program

RELEASES = sorted((Path(__file__).parent.parent / "released").glob("*.json"))


def test_there_are_releases_to_hold():
    assert RELEASES


@pytest.mark.parametrize("release", RELEASES, ids=lambda path: path.stem)
@pytest.mark.parametrize("days", [0, 400])
def test_what_a_release_sent_is_accepted_and_confirmed(
    release: Path, days: int, program: Callable[[str], Program], of_supervisor: Program, clock: Any
):
    """Each in its maker's name; the version of the list is that of the site, for it is a hash."""
    entries = json.loads(release.read_text().replace('"*"', f'"{make.VERSION}"'))
    clock.shift(days * 86400)
    makers = {"clear": program("201")}

    results = [
        makers.get(entry["kind"], of_supervisor).enter(entry, sent_at=30 + days * 1440)[0]
        for entry in entries
    ]

    assert [one["result"] for one in results] == ["accepted"] * len(entries)
    assert not [one for one in results if one.get("why")]
