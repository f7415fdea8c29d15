import os
from pathlib import Path

from tests import make
from walkaround.rules.instant import DAY, SECOND
from walkaround.store import releases


def made(folder: Path) -> Path:
    files = folder / "static"
    (files / "js").mkdir(parents=True)
    (files / "js" / "start.js").write_text("start()")
    return files


def test_the_files_of_a_release_stay_when_the_next_one_comes(tmp_path: Path):
    files, kept = made(tmp_path), tmp_path / "releases"
    releases.keep(files, "a" * 16, kept, make.DAWN)
    (files / "js" / "start.js").write_text("other()")

    releases.keep(files, "b" * 16, kept, make.DAWN)

    before, after = (releases.folder_of(name * 16, kept) for name in "ab")
    assert before is not None
    assert after is not None
    assert (before / "js" / "start.js").read_text() == "start()"
    assert (after / "js" / "start.js").read_text() == "other()"


def test_a_release_that_was_here_last_half_a_year_ago_goes(tmp_path: Path):
    files, kept = made(tmp_path), tmp_path / "releases"
    for name, days in (("a", 181), ("b", 179)):
        releases.keep(files, name * 16, kept, make.DAWN)
        at = make.DAWN / SECOND - days * DAY / SECOND
        os.utime(kept / (name * 16), (at, at))

    releases.keep(files, "c" * 16, kept, make.DAWN)

    assert sorted(path.name[0] for path in kept.iterdir()) == ["b", "c"]


def test_a_copy_that_was_cut_short_is_made_anew(tmp_path: Path):
    files, kept = made(tmp_path), tmp_path / "releases"
    (kept / f".{'a' * 16}").mkdir(parents=True)

    releases.keep(files, "a" * 16, kept, make.DAWN)

    found = releases.folder_of("a" * 16, kept)
    assert found is not None
    assert (found / "js" / "start.js").is_file()
    assert not (kept / f".{'a' * 16}").exists()


def test_an_unknown_release_is_nowhere(tmp_path: Path):
    assert releases.folder_of("a" * 16, tmp_path) is None
