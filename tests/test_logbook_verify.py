"""`walkaround logbook verify` as a script uses it: its exit status and what it names."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import text

from tests import make

PROGRAM = "from walkaround.cli import main; main()"


@pytest.fixture
def verify(door, engine, tmp_path):
    """Run the command over the site of the test, with two walks on L07 and one on D02."""
    for unit in ("L07", "L07", "D02"):
        door.walk(unit=unit)
    door.db.close()

    def run(*units: str) -> subprocess.CompletedProcess:
        settings = {"WALKAROUND_DATA": str(tmp_path), "WALKAROUND_CHECKLISTS": str(make.LISTS)}
        line = [sys.executable, "-c", PROGRAM, "logbook", "verify", *units]
        top = Path(__file__).parent.parent
        return subprocess.run(
            line, env=os.environ | settings, cwd=top, capture_output=True, text=True, timeout=60
        )

    return run


def test_it_exits_with_0_when_every_chain_holds(verify):
    done = verify()

    assert (done.returncode, done.stderr) == (0, "")
    assert "2 units" in done.stdout


def test_it_exits_with_1_and_names_unit_and_entry(verify, engine):
    with engine.begin() as connection:
        connection.execute(text("update entry set by = '102' where unit = 'L07' and seq = 2"))

    whole, other = verify(), verify("D02")

    assert (whole.returncode, other.returncode) == (1, 0)
    assert "L07" in whole.stderr
    assert "2" in whole.stderr
    assert "D02" not in whole.stderr


def test_it_refuses_a_unit_that_nobody_knows(verify):
    done = verify("X99")

    assert done.returncode == 1
    assert "X99" in done.stderr
    assert "Traceback" not in done.stderr
