"""Set-up brings the decoder of QR codes, and goes on without it where it cannot."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parent.parent
TOOLS = ("bash", "cmp", "cp", "cut", "dirname", "mkdir", "mktemp", "rm", "sha256sum", "touch")
FILES = ("decode.js", "index.js", "LICENSE-MIT")
BRINGS = """#!/bin/bash
echo npm >> called
mkdir -p node_modules/qr
for file in decode.js index.js LICENSE-MIT README.md; do echo {words} > node_modules/qr/$file; done
"""


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """The files that this piece of set-up needs, and the tools that every machine has."""
    folder = tmp_path / "checkout"
    shutil.copytree(TOP / ".setup", folder / ".setup")
    for name in ("package.json", "package-lock.json", ".npmrc"):
        shutil.copy(TOP / name, folder)
    (tmp_path / "tools").mkdir()
    for name in TOOLS:
        (tmp_path / "tools" / name).symlink_to(str(shutil.which(name)))
    return folder


def give(checkout: Path, npm: str) -> None:
    """Put a program in the place of npm."""
    program = checkout.parent / "tools" / "npm"
    program.write_text(npm)
    program.chmod(0o755)


def set_up(checkout: Path) -> str:
    """Run the piece, which must not fail, and return what it says."""
    done = subprocess.run(
        [checkout / ".setup" / "decoder"],
        env=os.environ | {"PATH": str(checkout.parent / "tools")},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def placed(checkout: Path) -> dict[str, str]:
    folder = checkout / "static" / "vendor" / "qr"
    return {path.name: path.read_text().strip() for path in folder.glob("*")}


def test_without_npm_set_up_says_so_in_one_line_and_goes_on(checkout: Path) -> None:
    said = set_up(checkout)

    assert said == (
        "-- There is no npm on this machine: "
        "phones that cannot read labels by themselves will ask for the number\n"
    )
    assert placed(checkout) == {}


def test_where_nothing_comes_set_up_says_so_in_one_line_and_goes_on(checkout: Path) -> None:
    give(checkout, "#!/bin/bash\necho no answer >&2\nexit 1\n")

    said = set_up(checkout)

    assert said == (
        "-- npm could not bring the decoder of QR codes: "
        "phones that cannot read labels by themselves will ask for the number\n"
    )
    assert placed(checkout) == {}


def test_what_is_needed_is_put_in_place_and_nothing_else(checkout: Path) -> None:
    give(checkout, BRINGS.format(words="new"))

    set_up(checkout)

    assert placed(checkout) == dict.fromkeys(FILES, "new")


def test_a_second_set_up_asks_nobody_and_says_nothing(checkout: Path) -> None:
    give(checkout, BRINGS.format(words="new"))
    set_up(checkout)

    said = set_up(checkout)

    assert said == ""
    assert (checkout / "called").read_text() == "npm\n"


def test_another_lock_brings_its_own_files(checkout: Path) -> None:
    give(checkout, BRINGS.format(words="new"))
    set_up(checkout)
    (checkout / "package-lock.json").write_text("{}")
    give(checkout, BRINGS.format(words="newer"))

    set_up(checkout)

    assert placed(checkout) == dict.fromkeys(FILES, "newer")


def test_a_decoder_that_is_there_stays_where_nothing_newer_comes(checkout: Path) -> None:
    give(checkout, BRINGS.format(words="new"))
    set_up(checkout)
    (checkout / "package-lock.json").write_text("{}")
    give(checkout, "#!/bin/bash\nexit 1\n")

    said = set_up(checkout)

    assert said.endswith(": going on with the decoder that is here\n")
    assert placed(checkout) == dict.fromkeys(FILES, "new")


@pytest.mark.parametrize("script", ["demo/run", "tests/run"])
def test_both_ways_to_set_up_bring_it(script: str) -> None:
    assert "\nbash .setup/decoder\n" in (TOP / script).read_text()
