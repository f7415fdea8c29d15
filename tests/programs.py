"""Programs that tests drive. Where one is missing a test skips, or fails under --no-skipping."""

import shutil
from pathlib import Path
from typing import NoReturn

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add what tests/run passes, since it has installed everything."""
    parser.addoption(
        "--no-skipping",
        action="store_true",
        help="fail where a test would skip because a program is missing",
    )


def need(config: pytest.Config, name: str, *folders: Path) -> Path:
    """Return where a program is: in one of the folders, else on the PATH."""
    for folder in folders:
        if (folder / name).is_file():
            return folder / name
    found = shutil.which(name)
    if found is None:
        absent(config, f"{name} is not installed; bash tests/run installs it")
    return Path(found)


def absent(config: pytest.Config, reason: str) -> NoReturn:
    """Skip the test, or fail it where everything was to be there."""
    if config.getoption("no_skipping"):
        pytest.fail(reason)
    pytest.skip(reason)
