import io

import pytest
import zxingcpp
from PIL import Image

from walkaround.paper import qr

# Bytes that a symbol of level Q holds, by version: ISO/IEC 18004, table of capacities. Computed
# with segno 1.6.6, a library independent of ours. Its side is 17 + 4 * version modules.
CAPACITY_Q = {1: 11, 2: 20, 3: 32, 4: 46, 5: 60, 6: 74, 7: 86, 8: 108, 9: 130, 10: 151}
QUIET_ZONE = 4  # modules on each side, ISO/IEC 18004


@pytest.mark.parametrize(("version", "holds"), CAPACITY_Q.items())
def test_a_code_is_as_large_as_the_standard_says(version: int, holds: int) -> None:
    side = 17 + 4 * version + 2 * QUIET_ZONE

    full, one_more = len(qr.matrix("a" * holds)), len(qr.matrix("a" * (holds + 1)))

    assert (full, one_more) == (side, side + 4)
    assert qr.modules("a" * holds) == side


@pytest.mark.parametrize(("version", "holds"), CAPACITY_Q.items())
def test_another_reader_finds_text_version_and_level(version: int, holds: int) -> None:
    text = ("https://site.example/q/" * 8)[:holds]
    picture = Image.open(io.BytesIO(qr.png(text)))

    (found,) = zxingcpp.read_barcodes(
        picture.resize((picture.width * 6,) * 2, Image.Resampling.NEAREST)
    )

    assert found.text == text
    assert (found.extra["Version"], found.ec_level) == (str(version), "Q")


def test_the_quiet_zone_is_white_and_the_symbol_begins_right_after_it() -> None:
    rows = qr.matrix("https://site.example/q/x")

    edges = [*rows[:QUIET_ZONE], *rows[-QUIET_ZONE:]]
    sides = [row[:QUIET_ZONE] + row[-QUIET_ZONE:] for row in rows]

    assert not any(map(any, edges + sides))
    assert all(rows[QUIET_ZONE][QUIET_ZONE : QUIET_ZONE + 7])


def test_the_picture_has_one_grey_pixel_a_module() -> None:
    picture = Image.open(io.BytesIO(qr.png("L07")))

    dark = [
        [picture.getpixel((x, y)) == 0 for x in range(picture.width)] for y in range(picture.height)
    ]

    assert picture.mode == "L"
    assert dark == qr.matrix("L07")
