"""The real program on a site of its own: made by its own commands, served on a free port."""

import atexit
import functools
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.commands import run

TOP = Path(__file__).resolve().parent.parent
WALKAROUND = [sys.executable, "-c", "from walkaround.cli import main; main()"]
ZONE = "Europe/Madrid"
PATIENCE = 60  # seconds until the server must answer, or must have stopped, however busy all is

# Who works on every test site: crew number, role, PIN.
CREW = {
    "Olga Operator": ("101", "operator", "4821"),
    "Milan Mechanic": ("102", "mechanic", "7306"),
    "Sara Supervisor": ("103", "supervisor", "9152"),
}


@dataclass(frozen=True)
class Site:
    """A site in a folder, and the address that it is or will be served at."""

    data: Path
    url: str
    database_url: str | None = None
    checklists: Path | None = None  # the shipped lists unless given
    program: Path = TOP  # the checkout that runs

    @property
    def environment(self) -> dict[str, str]:
        """What its commands see: nothing of what the caller has set for a site of their own."""
        mine = {"WALKAROUND_DATA": str(self.data), "WALKAROUND_BASE_URL": self.url}
        if self.database_url:
            mine["WALKAROUND_DATABASE_URL"] = self.database_url
        if self.checklists:
            mine["WALKAROUND_CHECKLISTS"] = str(self.checklists)
        others = {k: v for k, v in os.environ.items() if not k.startswith("WALKAROUND_")}
        return others | mine

    def command(self, *words: str) -> str:
        """Run `walkaround WORDS` in this process and return what it prints; it must not refuse."""
        with pytest.MonkeyPatch.context() as patch:
            for name in [name for name in os.environ if name.startswith("WALKAROUND_")]:
                patch.delenv(name)
            for name, value in self.environment.items():
                patch.setenv(name, value)
            done = run(*words)
        assert done.exit_code == 0, f"walkaround {' '.join(words)}: {done.output}"
        return done.stdout.strip()


@pytest.fixture(scope="module")
def live_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """A wheel loader L07 and its three people on a server that runs while this file's tests do."""
    site = Site(tmp_path_factory.mktemp("site"), f"http://127.0.0.1:{free_port()}")
    set_up(site)
    server = serve(site)
    yield site
    stop(server)


def set_up(site: Site) -> None:
    """Make a site whose one shift lasts a day and changes far from now, so that tests may run at
    any hour: in the last hour of a shift a walk is for the coming one."""
    if site.database_url:
        return _set_up(site)
    shutil.copytree(_made_once(site.checklists), site.data, dirs_exist_ok=True)
    return None


@functools.cache
def _made_once(checklists: Path | None) -> Path:
    """Return the data folder of such a site, for others to copy."""
    folder = Path(tempfile.mkdtemp(prefix="walkaround-site-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    _set_up(Site(folder / "data", "http://127.0.0.1:1", checklists=checklists))
    return folder / "data"


def _set_up(site: Site) -> None:
    hour = (datetime.now(ZoneInfo(ZONE)).hour + 12) % 24
    site.command("init", "--site", "Gravel pit", "--zone", ZONE, "--shifts", f"{hour:02}:00")
    for name, (number, role, pin) in CREW.items():
        words = ["--name", name, "--crew-number", number, "--role", role, "--pin", pin]
        site.command("person", "add", *words)
    site.command("unit", "add", "--number", "L07", "--machine", "wheel loader", "--hours", "84")


def free_port() -> int:
    """Return a port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def serve(site: Site, *, apart: bool = False) -> subprocess.Popen[bytes]:
    """Start the server of a site and wait until it is ready.

    `apart`: in a process group of its own, so that all of it can be killed at once.
    """
    port = site.url.rpartition(":")[2]
    log = (site.data.parent / f"{site.data.name}.log").open("ab")
    with log:
        server = subprocess.Popen(
            [*WALKAROUND, "serve", "--host", "127.0.0.1", "--port", port],
            cwd=site.program,
            env=site.environment,
            stdout=log,
            stderr=subprocess.STDOUT,
            process_group=0 if apart else None,
        )
    try:
        if not _ready(site, server):
            pytest.fail(f"the server did not start: {Path(log.name).read_text()}")
    except BaseException:  # also Ctrl-C, which does not reach a group of its own
        stop(server)
        raise
    return server


def stop(server: subprocess.Popen[bytes]) -> None:
    """Ask a server to stop, and insist if it does not."""
    server.terminate()
    try:
        server.wait(PATIENCE)
    except subprocess.TimeoutExpired:
        server.kill()
        server.wait()


def _ready(site: Site, server: subprocess.Popen[bytes]) -> bool:
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end and server.poll() is None:
        try:
            with urllib.request.urlopen(f"{site.url}/readyz", timeout=2):
                return True
        except urllib.error.HTTPError as answer:
            answer.close()  # it answers, but not yet with 200
        except OSError:
            pass
        time.sleep(0.05)
    return False
