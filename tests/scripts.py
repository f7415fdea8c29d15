"""The pages' scripts under Node, asked many things at once."""

import json
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

PROGRAM = Path(__file__).parent / "js" / "called.js"


@dataclass
class Scripts:
    """A running program that calls functions of `static/js`."""

    process: subprocess.Popen[str]

    def call(self, *calls: tuple[Any, ...]) -> list[Any]:
        """Return what each of (module, function, arguments...) gives; null for nothing."""
        assert self.process.stdin
        assert self.process.stdout
        self.process.stdin.write(json.dumps(calls) + "\n")
        self.process.stdin.flush()
        line = self.process.stdout.readline()
        assert line, "a script has failed; what it says stands above"
        return list(json.loads(line))


@pytest.fixture(scope="session")
def scripts() -> Iterator[Scripts]:
    """Node, which set-up does not install: tests/run too leaves the scripts out without it."""
    node = shutil.which("node")
    told = subprocess.check_output([node, "--version"], text=True) if node else "v0"
    if node is None or int(told.strip("v").split(".")[0]) < 20:
        pytest.skip("Node 20 or newer is not on this machine")
    pipe = subprocess.PIPE
    with subprocess.Popen([node, PROGRAM], stdin=pipe, stdout=pipe, text=True) as process:
        yield Scripts(process)
