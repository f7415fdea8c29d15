import os
import subprocess
import time
from pathlib import Path

import pytest
from PIL import Image

from tests import pictures
from tests.people import NOON, fresh_db
from tests.pictures import drawn, written
from walkaround.actions.add_photo import add_photo
from walkaround.store import photos
from walkaround.store.models import PhotoUseRow
from walkaround.store.photos import Folder, NoRoom, NotAPhoto, PhotoTooLarge, WrongHash

SMALL_DISK = 10**18  # more bytes than any disk has free


@pytest.fixture
def db():
    with fresh_db() as db:
        yield db


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return Folder(tmp_path / "photos")


def copy_of(data: bytes) -> Image.Image:
    return pictures.opened(photos.copies(data)[0])


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_picture_of_each_format_becomes_a_jpeg_of_ours(kind):
    made = copy_of(written(drawn(), kind))

    assert (made.format, made.mode, made.size) == ("JPEG", "RGB", (120, 80))


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "I;16"])
def test_any_kind_of_pixels_is_taken_from_a_png(mode):
    assert copy_of(written(drawn().convert("L").convert(mode) if mode == "I;16" else
                           drawn(mode=mode), "PNG")).mode == "RGB"  # fmt: skip


def test_a_photo_as_printers_mix_colours_is_taken():
    assert copy_of(written(drawn(mode="CMYK"))).getpixel((100, 70))[0] == pytest.approx(90, abs=9)


def test_what_can_be_seen_through_is_seen_on_white():
    made = copy_of(written(Image.new("RGBA", (40, 40), (0, 0, 0, 0)), "PNG"))

    assert min(made.getpixel((20, 20))) > 250


def test_a_copy_tells_nothing_but_the_picture():
    data = pictures.telling()

    large, small = photos.copies(data)

    for made in (large, small):
        assert not pictures.opened(made).getexif()
        assert not {"exif", "xmp", "comment", "icc_profile"} & set(pictures.opened(made).info)
        assert made.endswith(b"\xff\xd9"), "ITU-T T.81, B.1.1.3: EOI ends an image"
        for word in (b"script", b"Invented", b"somebody", b"comment", b"profileprofile"):
            assert word in data
            assert word not in made


def test_a_copy_stands_upright():
    # Exif 2.32, tag Orientation: 6 means that row 0 is the right-hand side of what is seen.
    made = copy_of(pictures.telling())

    red, _, blue = made.getpixel((made.width - 5, 5))
    assert made.size == (80, 120)
    assert (red > 200, blue < 40) == (True, True)


def test_a_copy_is_1600_pixels_long_at_the_most_and_its_thumbnail_320():
    large, small = photos.copies(written(drawn(4000, 3000)))

    assert pictures.opened(large).size == (1600, 1200)
    assert pictures.opened(small).size == (320, 240)


def test_a_small_photo_is_not_blown_up():
    assert copy_of(pictures.jpeg(64, 48)).size == (64, 48)


def test_a_line_of_pixels_stays_a_picture():
    assert copy_of(written(drawn(30_000, 1), "PNG")).size == (1600, 1)


def test_a_preview_behind_a_phones_photo_does_no_harm():
    # CIPA DC-007 (multi-picture format): phones put a preview or a brightness map behind the photo
    made = copy_of(pictures.film("MPO"))

    assert made.size == (120, 80)


HOSTILE = {
    "nothing": b"",
    "words": b"this is no picture",
    "a program": b"\x7fELF" + bytes(200),
    "svg": b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>",
    "eps": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n",
    "gif": written(drawn(mode="P"), "GIF"),
    "tiff": written(drawn(), "TIFF"),
    "bmp": written(drawn(), "BMP"),
    "only the first bytes of a jpeg": b"\xff\xd8\xff\xe0",
    "a cut jpeg": pictures.jpeg(400, 300)[:2000],
    "a cut png": written(drawn(), "PNG")[:-40],
    "a png that moves": pictures.film("PNG"),
    "a webp that moves": pictures.film("WEBP"),
    "a png that says it is huge": pictures.bomb(),
    "41 megapixels": written(Image.new("1", (8200, 5000)), "PNG"),
    "a sound": b"RIFF\x24\x00\x00\x00WAVEfmt ",
    "fits named jpg": b"SIMPLE  =                    T" + b" " * 50 + b"END".ljust(80),
}


@pytest.mark.parametrize("data", HOSTILE.values(), ids=HOSTILE)
def test_whatever_is_no_single_whole_picture_is_refused(data):
    with pytest.raises(NotAPhoto):
        photos.copies(data)


def test_39_megapixels_are_taken_in_little_time():
    data, begun = written(Image.new("RGB", (7800, 5000)), "PNG"), time.monotonic()

    photos.copies(data)

    assert time.monotonic() - begun < 20


def test_a_photo_is_kept_as_sent_and_in_copies(db, folder):
    data = pictures.telling()

    name = add_photo(db, folder, data, "101", NOON)

    assert folder.read(f"{name}.sent") == data
    assert folder.read(f"{name}.jpg") == photos.copies(data)[0]
    assert pictures.opened(folder.read(f"{name}.small.jpg")).format == "JPEG"
    assert photos.find(db, name).by == "101"


def test_the_name_of_a_photo_is_the_hash_of_what_was_sent(db, folder):
    # FIPS 180-4 by the system's own program, apart from Python's
    data = pictures.jpeg()
    printed = subprocess.run(["sha256sum"], input=data, capture_output=True).stdout.split()[0]

    assert add_photo(db, folder, data, "101", NOON) == printed.decode()


def test_the_same_photo_again_stays_its_first_senders(db, folder):
    name = add_photo(db, folder, pictures.jpeg(), "101", NOON)

    assert add_photo(db, folder, pictures.jpeg(), "201", NOON + 1) == name
    assert photos.find(db, name).by == "101"


@pytest.mark.parametrize(
    ("data", "sha256", "refusal"),
    [
        (pictures.jpeg(), "0" * 64, WrongHash),
        (pictures.jpeg()[:-9], photos.name_of(pictures.jpeg()), WrongHash),
        (pictures.jpeg(), photos.name_of(pictures.jpeg()).upper(), WrongHash),
        (b"no picture", photos.name_of(b"no picture"), NotAPhoto),
        (b"\xff\xd8\xff" + bytes(photos.LARGEST), None, PhotoTooLarge),
    ],
)
def test_what_is_refused_leaves_nothing(db, folder, data, sha256, refusal):
    with pytest.raises(refusal):
        add_photo(db, folder, data, "101", NOON, sha256)

    assert not list(folder._path.rglob("*"))
    assert not photos.here(db, [photos.name_of(data)])


def test_photos_stop_before_a_disk_is_full(db, tmp_path):
    with pytest.raises(NoRoom):
        add_photo(db, Folder(tmp_path, reserve=SMALL_DISK), pictures.jpeg(), "101", NOON)

    assert not [path for path in tmp_path.rglob("*") if path.is_file()]


def test_files_stand_in_folders_of_two_letters_and_are_nobody_elses(db, folder):
    name = add_photo(db, folder, pictures.jpeg(), "101", NOON)

    found = sorted(path.relative_to(folder._path) for path in folder._path.rglob("*.*"))
    assert {path.parent.name for path in found} == {name[:2]}
    for path in folder._path.rglob("*"):
        assert not path.stat().st_mode & 0o077, path


def test_a_photo_is_on_the_disk_with_its_folder_before_its_row_is_there(db, folder, monkeypatch):
    done = []
    for call in ("fsync", "rename"):
        real = getattr(os, call)
        monkeypatch.setattr(
            os, call, lambda *a, call=call, real=real: done.append(call) or real(*a)
        )
    monkeypatch.setattr(db, "add", lambda row: done.append("row"))

    add_photo(db, folder, pictures.jpeg(), "101", NOON)

    made_folders, each_file = ["fsync", "fsync"], ["fsync", "rename", "fsync"]
    assert done == [*made_folders, *each_file * 3, "row"]


def test_while_a_photo_is_decoded_others_can_write(tmp_path, monkeypatch):
    with fresh_db(f"sqlite:///{tmp_path}/one.db") as db:
        photos.find(db, "0" * 64)  # the session has begun its turn to write
        monkeypatch.setattr(
            photos, "copies", lambda _: in_use.append(db.in_transaction()) or (b"", b"")
        )
        in_use: list[bool] = []

        add_photo(db, Folder(tmp_path), pictures.jpeg(), "101", NOON)

    assert in_use == [False]


def test_only_its_sender_sees_a_photo_until_an_entry_names_it(db, folder):
    name = add_photo(db, folder, pictures.jpeg(), "101", NOON)
    seen_before = [photos.may_see(db, name, who) for who in ("101", "201")]
    db.add(PhotoUseRow(site=db.info["site"], sha256=name, entry="e", unit="L07"))

    assert seen_before == [True, False]
    assert photos.may_see(db, name, "201")


def test_a_photo_that_is_still_on_its_phone_is_told_from_one_that_is_here(db, folder):
    name = add_photo(db, folder, pictures.jpeg(), "101", NOON)

    assert photos.here(db, [name, "0" * 64]) == {name}
