"""The server dies at the worst moments; the phone has no reply, so it sends the same again."""

import random
from dataclasses import dataclass
from pathlib import Path

import pytest
from sqlalchemy import func, select

from tests.faults.phone import Phone
from tests.faults.site import Ground, Server, SmallSite, open_ground
from tests.faults.work import Work
from walkaround import clock
from walkaround.store.models import DefectRow, EntryRow


@dataclass(frozen=True)
class DyingSite(SmallSite):
    """A site whose server dies when it commits an entry."""

    dies: str = "after_commit"

    @property
    def environment(self) -> dict[str, str]:
        hook = {"GUNICORN_CMD_ARGS": "--config=python:tests.faults.dying", "DIES": self.dies}
        return super().environment | hook


@pytest.fixture
def ground(tmp_path: Path) -> Ground:
    (tmp_path / "ground").mkdir()
    return open_ground(tmp_path / "ground")


@pytest.mark.parametrize(
    ("dies", "there", "result"), [("before_commit", 0, "accepted"), ("after_commit", 1, "known")]
)
def test_what_had_no_reply_is_there_once(
    ground: Ground, tmp_path: Path, dies: str, there: int, result: str
):
    site = ground.copy(tmp_path / "site")
    phone = reporting(ground, site)

    with Server(DyingSite(site.data, site.url, dies=dies)) as dying:
        with pytest.raises(ConnectionError):
            phone.send()
        dying.has_died()
    assert rows(site) == [there, there]
    with Server(site):
        phone.send()

    assert list(phone.results.values()) == [result]
    assert rows(site) == [1, 1]
    site.command("logbook", "verify")


def reporting(ground: Ground, site: SmallSite) -> Phone:
    """Return a phone on which a defect was reported, straight at the server."""
    held = ground.phones[0]
    work = Work(held.holder, held.device, ground.shift, clock.now(), random.Random(1))
    return Phone(site.address[1], held.cookies, work, random.Random(1), made=[work.report("L05")])


def rows(site: SmallSite) -> list[int]:
    """Return how many entries and defects there are."""
    with site.door(clock.now()) as door:
        query = [select(func.count()).select_from(row) for row in (EntryRow, DefectRow)]
        return [door.db.scalar(one) or 0 for one in query]
