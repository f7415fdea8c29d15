"""The pages' scripts under Node, asked many things at once."""

import json
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.programs import absent, need

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
def scripts(request: pytest.FixtureRequest) -> Iterator[Scripts]:
    """Node, which tests/run also asks for the tests of the scripts alone."""
    node = need(request.config, "node")
    version = subprocess.run([node, "--version"], capture_output=True, text=True, check=True)
    if int(version.stdout.strip("v").split(".")[0]) < 20:
        absent(request.config, "Node 20 or newer is not on this machine")
    pipe = subprocess.PIPE
    with subprocess.Popen([node, PROGRAM], stdin=pipe, stdout=pipe, text=True) as process:
        yield Scripts(process)
