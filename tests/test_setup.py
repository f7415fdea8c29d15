"""The pieces that the two set-up commands are made of."""

import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent


def port_is_free(port: int) -> bool:
    """Ask the piece of demo/run."""
    piece = TOP / ".setup" / "port_is_free.py"
    return subprocess.run([sys.executable, piece, str(port)]).returncode == 0


def shell(line: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run a line of shell that knows the pieces for packages and for Python."""
    pieces = "set -eu; . .setup/packages.sh; . .setup/python.sh; "
    return subprocess.run(
        ["/bin/bash", "-c", pieces + line],
        cwd=TOP,
        env=os.environ | environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )


def test_a_port_is_taken_while_somebody_listens_on_it() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        taken = not port_is_free(port)

    assert taken
    assert port_is_free(port)


def test_nothing_is_installed_where_nothing_is_missing() -> None:
    done = shell("install_packages")

    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_who_may_not_install_reads_what_to_ask_for() -> None:
    done = shell("as_root() { return 1; }; apt-get() { :; }; install_packages poppler-utils")

    assert done.returncode == 1
    assert done.stderr == (
        "Please ask the administrator of this machine to run: apt-get install poppler-utils\n"
    )


def test_another_system_is_told_what_it_needs() -> None:
    done = shell("command() { return 1; }; install_packages poppler-utils")

    assert done.returncode == 1
    assert "neither Debian nor Ubuntu" in done.stderr
    assert "poppler-utils" in done.stderr


def test_an_old_python_is_not_taken(tmp_path: Path) -> None:
    for name in ("python3", "python3.14", "python3.13", "python3.12", "python3.11"):
        (tmp_path / name).write_text("#!/bin/sh\nexit 1\n")
        (tmp_path / name).chmod(0o755)

    done = shell("find_python", PATH=f"{tmp_path}:{os.environ['PATH']}")

    assert done.returncode == 1
    assert "Python 3.11 or newer" in done.stderr


def test_a_lock_that_is_installed_is_not_installed_again(tmp_path: Path) -> None:
    lock = tmp_path / "some.lock"
    lock.write_text("nothing==1\n")
    stamp = 'cat "$lock" pyproject.toml | sha256sum | cut -c1-16'
    folder = tmp_path / "checkout" / ".venv"
    folder.mkdir(parents=True)
    (folder.parent / "pyproject.toml").write_text("")

    line = (
        f'lock={lock}; cd {folder.parent}; touch .venv/installed-$({stamp}); install_locked "$lock"'
    )
    done = shell(line)

    assert (done.returncode, done.stdout) == (0, "")


def test_the_scripts_are_tried_wherever_node_is_new_enough() -> None:
    node = shutil.which("node")
    version = subprocess.check_output([node, "--version"], text=True) if node else "v0"
    is_new = int(version.lstrip("v").split(".")[0]) >= 20

    done = shell('. tests/setup/checks.sh; check() { echo "tries $1"; }; check_scripts')

    assert ("tries node: scripts" in done.stdout) is is_new
    assert ("left out" in done.stdout) is not is_new
