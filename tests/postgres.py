"""A private PostgreSQL: on a socket in a folder of its own, also when root runs the tests."""

import itertools
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import psycopg
import pytest

from tests.programs import need

PORT = 5432  # names the socket, nothing listens on the network
# Nothing kept here is worth waiting for the disk.
CARELESS = "-c fsync=off -c full_page_writes=off -c synchronous_commit=off"


@dataclass(frozen=True)
class Cluster:
    """One running server and the folder that it lives in."""

    folder: Path
    programs: Path
    _numbers: Iterator[int] = field(default_factory=itertools.count)

    def start(self) -> None:
        """Make the cluster and wait until it answers."""
        options = f"-c listen_addresses='' -k {self.folder} -p {PORT} {CARELESS}"
        self._run("initdb", "-U", "walkaround", "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8")
        self._run("pg_ctl", "-s", "-w", "-l", f"{self.folder}/log", "-o", options, "start")

    def stop(self) -> None:
        """Stop the server at once."""
        self._run("pg_ctl", "-s", "-w", "-m", "immediate", "stop")

    def new_database(self) -> str:
        """Make an empty database and return its name."""
        name = f"test_{next(self._numbers)}"
        self._say(f"create database {name}")
        return name

    def drop_database(self, name: str) -> None:
        """Remove a database, also from under connections that a test left open."""
        self._say(f"drop database {name} with (force)")

    def url(self, database: str) -> str:
        """Return the address for SQLAlchemy."""
        return f"postgresql+psycopg://walkaround@/{database}?host={self.folder}&port={PORT}"

    def _say(self, statement: str) -> None:
        address = f"host={self.folder} port={PORT} user=walkaround dbname=postgres"
        with psycopg.connect(address, autocommit=True) as connection:
            connection.execute(statement)

    def _run(self, program: str, *words: str) -> None:
        # Both refuse root, and keep the caller's folder, which their own user may not enter.
        line = [str(self.programs / program), "-D", str(self.folder / "data"), *words]
        if os.geteuid() == 0:
            line = ["runuser", "-u", "postgres", "--", *line]
        with (self.folder / f"{program}.out").open("a") as out:
            done = subprocess.run(line, cwd=self.folder, stdout=out, stderr=subprocess.STDOUT)
        assert done.returncode == 0, Path(out.name).read_text()


@pytest.fixture(scope="session")
def postgres(pytestconfig: pytest.Config) -> Iterator[Cluster]:
    """A server for this whole run."""
    installed = sorted(
        Path("/usr/lib/postgresql").glob("*/bin"), key=lambda bin: int(bin.parent.name)
    )
    initdb = need(pytestconfig, "initdb", *reversed(installed)).resolve()
    folder = Path(tempfile.mkdtemp(prefix="walkaround-postgres-"))
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres")
    cluster = Cluster(folder, initdb.parent)
    try:
        cluster.start()
        yield cluster
        cluster.stop()
    finally:
        shutil.rmtree(folder)


@pytest.fixture
def postgres_url(postgres: Cluster) -> Iterator[str]:
    """The address of an empty database."""
    name = postgres.new_database()
    yield postgres.url(name)
    postgres.drop_database(name)
