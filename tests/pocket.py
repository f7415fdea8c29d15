"""A phone with a memory of its own: its browser is killed with SIGKILL and started again."""

import os
import shutil
import signal
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, BrowserType, Page

from tests.chromium import FLAGS, PHONE


@dataclass
class Pocket:
    """One profile folder, and the browser that runs on it."""

    kind: BrowserType
    profile: Path
    context: BrowserContext | None = field(default=None)

    def start(self) -> BrowserContext:
        """Start the browser on what it has kept."""
        self.context = self.kind.launch_persistent_context(
            self.profile, executable_path=shutil.which("chromium"), args=FLAGS, **PHONE
        )
        return self.context

    def page(self) -> Page:
        """Return the page that a browser opens with."""
        assert self.context
        return self.context.pages[0] if self.context.pages else self.context.new_page()

    def rest(self) -> Page:
        """Close the browser as one does, which puts its cookies on the disk, and start it again."""
        assert self.context
        self.context.close()
        return self.start().pages[0]

    def kill(self) -> None:
        """Kill the browser as it stands, and all that it started."""
        for pid in self._processes():
            os.kill(pid, signal.SIGKILL)
        while self._processes():
            time.sleep(0.02)
        self.context = None

    def _processes(self) -> list[int]:
        """Return the processes that were started on this very profile."""
        mine = str(self.profile).encode()
        found = []
        for folder in Path("/proc").iterdir():
            try:
                if folder.name.isdecimal() and mine in (folder / "cmdline").read_bytes():
                    found.append(int(folder.name))
            except OSError:
                pass  # it ended meanwhile
        return found


@pytest.fixture
def pocket(browser: Browser, tmp_path: Path) -> Iterator[Pocket]:
    """A phone whose browser is started."""
    made = Pocket(browser.browser_type, tmp_path / "profile")
    made.start()
    yield made
    made.kill()
