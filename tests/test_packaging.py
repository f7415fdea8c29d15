"""What is shipped: versions without known faults, every folder in the wheel, scripts that stop."""

import json
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from walkaround.store.db import sound_journal

TOP = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text())["project"]
REQUIREMENTS = [Requirement(line) for line in PROJECT["dependencies"]]
PIECES = json.loads((TOP / "package-lock.json").read_text())["packages"]  # the first is our own
LOCKS = [TOP / "requirements.lock", TOP / "tests" / "requirements.lock"]
SCRIPTS = [
    TOP / name for name in ("demo/run", "tests/run", ".ci/run", ".setup/lock", ".setup/decoder")
]
FOLDERS = ["templates", "static", "checklists"]

# The last release with a known fault, and who says so.
FAULTY = {
    "jinja2": "3.1.5",  # CVE-2025-27516, from memory: out of the sandbox through a filter
    "pillow": "12.2.0",  # github.com/ai-dynamo/aiperf/pull/1440: 13 faults, all fixed in 12.3.0
    "weasyprint": "69.0",  # its release notes for 70.0: CVE-2026-55073, GHSA-r543-q48m-4c9j
    "werkzeug": "3.1.3",  # CVE-2025-66221, number from memory: device names in safe_join
}


def locked(lock: Path) -> dict[str, str]:
    """Return name and version of everything that a lock file names."""
    lines = [line.split() for line in lock.read_text().splitlines() if "==" in line]
    return dict(line[0].split("==") for line in lines if not line[0].startswith("#"))


def locked_lines(lock: Path) -> set[str]:
    """Return the lines of a lock that say what to install where."""
    return {line for line in lock.read_text().splitlines() if "==" in line and line[0] != " "}


@pytest.mark.parametrize("name", FAULTY)
def test_no_release_with_a_known_fault_is_allowed(name: str) -> None:
    allowed = {canonicalize_name(r.name): r.specifier for r in REQUIREMENTS}

    assert not allowed[name].contains(FAULTY[name])


@pytest.mark.parametrize(
    # Fixed in 3.44.6, 3.50.7 and 3.51.3: https://sqlite.org/wal.html, "The WAL-reset bug"
    ("version", "journal"),
    [
        ((3, 40, 1), "delete"),
        ((3, 44, 5), "delete"),
        ((3, 44, 6), "wal"),
        ((3, 50, 6), "delete"),
        ((3, 50, 7), "wal"),
        ((3, 51, 2), "delete"),
        ((3, 51, 3), "wal"),
    ],
)
def test_a_sqlite_with_a_known_fault_keeps_no_write_ahead_log(
    version: tuple[int, ...], journal: str
) -> None:
    assert sound_journal(version) == journal


@pytest.mark.parametrize("lock", LOCKS, ids=["runtime", "tests"])
def test_a_lock_holds_what_the_project_asks_for(lock: Path) -> None:
    versions = locked(lock)

    for requirement in REQUIREMENTS:
        version = versions[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(Version(version)), requirement


def test_both_locks_come_from_one_resolve() -> None:
    runtime, tests = map(locked_lines, LOCKS)

    assert runtime < tests


@pytest.mark.parametrize("lock", LOCKS, ids=["runtime", "tests"])
def test_everything_locked_is_known_by_its_hash(lock: Path) -> None:
    text = lock.read_text().replace("\\\n", "")

    lines = [line for line in text.splitlines() if line and line[0] != "#"]

    assert lines
    assert all("--hash=sha256:" in line for line in lines)


def test_what_browsers_need_is_known_by_its_hash_wherever_it_comes_from() -> None:
    own, *brought = PIECES.values()

    assert own["dependencies"] == {"qr": PIECES["node_modules/qr"]["version"]}
    assert len(brought) == 1
    assert all(one["integrity"].startswith("sha512-") for one in brought)
    assert not any("resolved" in one or "hasInstallScript" in one for one in brought)


def test_the_readme_names_the_decoder_with_its_version_and_licence() -> None:
    decoder = PIECES["node_modules/qr"]

    licence = decoder["license"].strip("()").replace(" OR ", " or ")

    assert f"`qr` {decoder['version']} ({licence})" in " ".join(
        (TOP / "README.md").read_text().split()
    )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "--target", "wheel"]
    subprocess.run([*build, "--directory", folder], cwd=TOP, check=True, capture_output=True)
    return next(folder.glob("*.whl"))


def test_the_wheel_holds_every_file_of_the_folders_beside_the_package(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())

    missing = [name for name in expected() if name not in names]

    assert missing == []


def expected() -> list[str]:
    """Return what every file of the checkout is called inside the wheel."""
    files = [path for name in [*FOLDERS, "walkaround"] for path in (TOP / name).rglob("*")]
    names = [
        str(path.relative_to(TOP / "walkaround" if TOP / "walkaround" in path.parents else TOP))
        for path in files
        if path.is_file() and "__pycache__" not in path.parts
    ]
    return [f"walkaround/{name}" for name in names]


def test_the_wheel_holds_no_data_of_anybody(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()

    assert not [name for name in names if "demo/data" in name or name.endswith((".db", ".pem"))]


def test_an_installed_wheel_finds_its_folders(wheel: Path, tmp_path: Path) -> None:
    zipfile.ZipFile(wheel).extractall(tmp_path)
    line = "from walkaround import places as p; print(p.templates(), p.static(), p.checklists())"

    found = subprocess.run(
        [sys.executable, "-c", line], cwd=tmp_path, check=True, capture_output=True, text=True
    )

    folders = [Path(folder) for folder in found.stdout.split()]
    assert folders == [tmp_path / "walkaround" / name for name in FOLDERS]
    assert all(any(folder.iterdir()) for folder in folders)


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.name)
def test_a_script_runs_and_stops_at_the_first_error(script: Path) -> None:
    lines = script.read_text().splitlines()

    assert lines[0] == "#!/usr/bin/env bash"
    assert "set -eu" in lines
    assert script.stat().st_mode & 0o111 == 0o111
