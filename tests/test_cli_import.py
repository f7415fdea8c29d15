"""walkaround import entries: what waited on a phone comes as a file."""

import base64
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result
from sqlalchemy.orm import Session

from tests import make, pictures
from tests.client import Client
from tests.commands import run
from tests.people import some_keys
from tests.seal import seal
from walkaround.store import entries, photos, standings, units
from walkaround.store.photos import name_of

PHOTO = name_of(pictures.jpeg())


@pytest.fixture(autouse=True)
def data(engine: Any, clock: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The data folder of the test's own site, as commands find it."""
    monkeypatch.setenv("WALKAROUND_DATA", str(tmp_path))
    monkeypatch.setenv("WALKAROUND_CHECKLISTS", str(make.LISTS))
    monkeypatch.setattr("walkaround.store.keys.read_or_make", lambda _folder: some_keys())
    return tmp_path


def test_who_signed_with_the_right_pin_has_confirmed_it(data: Path, db: Session):
    done = take_in(data, signed(clean(), "4821"))

    assert "1 entries were accepted (0 do not count fully)" in done.stdout
    assert [(row.by, row.signature, row.skew_ms) for row in book(db)] == [("101", "confirmed", 0)]
    assert state(db) == "ok_to_run"


def test_who_signed_with_a_wrong_pin_has_confirmed_nothing(data: Path, db: Session):
    done = take_in(data, signed(clean(), "9999"))

    assert "1 entries were accepted (1 do not count fully)" in done.stdout
    assert [(row.by, row.signature) for row in book(db)] == [("101", "unconfirmed")]
    assert state(db) == "not_checked"


def test_a_pin_that_was_sealed_for_another_entry_confirms_nothing(data: Path, db: Session):
    signer = signed(clean(), "4821")["signer"]

    take_in(data, {**clean(), "signer": signer})

    assert book(db)[0].signature == "unconfirmed"


def test_wrong_pins_in_files_count_against_their_person(data: Path, db: Session):
    for _ in range(3):
        take_in(data, signed(clean(), "9999"))

    take_in(data, signed(clean(), "4821"))

    assert [row.signature for row in book(db)] == ["unconfirmed"] * 4


def test_whoever_is_only_named_is_unproved_and_what_they_found_counts(data: Path, db: Session):
    walk = make.entry("walkaround", make.walkaround(seat="defect"))

    take_in(data, {**walk, "by": "101"})

    assert [(row.by, row.signature) for row in book(db)] == [("101", "unconfirmed")]
    assert state(db) == "tagged_out"


@pytest.mark.parametrize("more", [{}, {"by": None}, {"by": 101}, {"by": "a/b"}, {"signer": {}}])
def test_what_nobody_has_made_is_refused_and_blocks(
    data: Path, db: Session, supervisor: Client, more: dict[str, Any]
):
    entry = {**clean(), **more}

    done = take_in(data, entry)

    assert f"{entry['id']} (walkaround, unit L07) was refused" in done.stdout
    assert "it does not say who made it" in done.stdout
    assert "it does not say who made it" in supervisor.page("/refused").text
    assert [row.kind for row in book(db)] == ["doubt"]


def test_a_file_that_is_taken_in_twice_enters_once(data: Path, db: Session):
    file = [signed(clean(), "4821"), {**make.entry("defect", {"what": "Hose"}), "by": "201"}]

    first, second = (take_in(data, *file, photos={PHOTO: sent()}) for _ in range(2))

    assert "2 entries were accepted (1 do not count fully), 0 known, 0 refused" in first.stdout
    assert "0 entries were accepted (0 do not count fully), 2 known, 0 refused" in second.stdout
    assert len(book(db)) == 2
    assert "1 photos are here." in second.stdout


def test_photos_come_before_the_entries_that_name_them(data: Path, db: Session, supervisor: Client):
    body = {"what": "Hose weeping", "photos": [PHOTO]}

    take_in(data, {**make.entry("defect", body), "by": "101"}, photos={PHOTO: sent()})

    assert photos.Folder(data / "photos").has(f"{PHOTO}.{photos.AS_SENT}")
    assert supervisor.get(f"/photos/{PHOTO}").mimetype == "image/jpeg"


def test_photos_alone_are_taken_in_for_entries_that_were_sent(data: Path, db: Session):
    done = take_in(data, photos={PHOTO: sent()})

    assert done.exit_code == 0
    assert "0 entries were accepted" in done.stdout
    assert "1 photos are here." in done.stdout
    assert photos.Folder(data / "photos").has(f"{PHOTO}.{photos.AS_SENT}")


@pytest.mark.parametrize(
    "damaged",
    ["not base64!", "AAAA", None, 7, base64.b64encode(pictures.jpeg()[:-9]).decode()],
)
def test_a_damaged_photo_is_named_and_the_entries_are_taken(data: Path, db: Session, damaged: Any):
    done = take_in(data, signed(clean(), "4821"), photos={PHOTO: damaged})

    assert f"The photo {PHOTO} was not taken" in done.stdout
    assert "0 photos are here, 1 were not taken: keep the file." in done.stdout
    assert done.exit_code == 0
    assert len(book(db)) == 1


def test_what_is_no_picture_is_no_photo(data: Path):
    text = b"this is no picture"

    done = take_in(data, photos={name_of(text): base64.b64encode(text).decode()})

    assert "This is no photo that can be used" in done.stdout


def test_a_refused_entry_does_not_stop_the_others_and_shows(
    data: Path, db: Session, supervisor: Client
):
    stray = make.entry("hours", {"value": 85}, unit="L70")

    done = take_in(data, {**stray, "by": "101"}, "no entry", signed(clean(), "4821"))

    assert done.stdout.splitlines()[0] == (
        f"The entry {stray['id']} (hours, unit L70) was refused: There is no unit L70 here."
    )
    assert "1 entries were accepted (0 do not count fully), 0 known, 2 refused" in done.stdout
    assert "There is no unit L70 here." in supervisor.page("/refused").text
    assert len(book(db)) == 1


def test_what_a_file_says_stays_on_its_line(data: Path):
    done = take_in(data, {"id": "x\n1 entries", "unit": "\x1b[2J\ud800", "kind": "hold"})

    assert len(done.stdout.splitlines()) == 2
    assert "\x1b" not in done.stdout


def test_more_entries_than_one_request_takes_are_fine_in_a_file(data: Path, db: Session):
    readings = (make.entry("hours", {"value": 84 + n / 1000}) for n in range(201))

    done = take_in(data, *({**one, "by": "101"} for one in readings))

    assert "201 entries were accepted" in done.stdout
    assert len(book(db)) == 201


@pytest.mark.parametrize(
    "text",
    [b"", b"{", b"[]", b"null", b'{"entries": {}}', b'{"photos": {}}', b"\xff\xfe", b"[" * 100_000,
     b'{"entries": [], "photos": []}'],
)  # fmt: skip
def test_a_broken_file_is_one_sentence_and_enters_nothing(data: Path, db: Session, text: bytes):
    file = data / "waiting.json"
    file.write_bytes(text)

    done = run("import", "entries", str(file))

    assert (done.exit_code, done.stdout) == (1, "")
    assert "is no file of entries that waited on a phone. Nothing was entered." in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_a_file_that_is_not_there_is_named(data: Path):
    done = run("import", "entries", str(data / "nowhere.json"))

    assert (done.exit_code, done.stdout) == (1, "")
    assert "nowhere.json cannot be read: No such file or directory" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def clean() -> dict[str, Any]:
    return make.entry("walkaround", make.walkaround())


def signed(entry: dict[str, Any], pin: str, number: str = "101") -> dict[str, Any]:
    """Return an entry that somebody signs with a PIN, as a phone seals it."""
    sealed = seal(some_keys().seal_jwk(), pin, entry["id"])
    return {**entry, "signer": {"crew_number": number, "sealed_pin": sealed}}


def sent() -> str:
    return base64.b64encode(pictures.jpeg()).decode()


def take_in(data: Path, *found: Any, **more: Any) -> Result:
    """Save a file as a phone does, and take it in."""
    file = data / "waiting.json"
    file.write_text(json.dumps({"entries": list(found), **more}))
    return run("import", "entries", str(file))


def book(db: Session) -> list[Any]:
    db.rollback()
    return entries.of_unit(db, "L07")


def state(db: Session) -> str:
    unit = units.find(db, "L07")
    assert unit
    return standings.of(db, unit, make.at(30)).verdict.state
