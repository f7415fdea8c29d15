import io
import logging
from dataclasses import replace
from functools import cache

import numpy
import pytest
import zxingcpp
from fontTools.ttLib import TTFont
from PIL import Image, ImageDraw
from pypdf import PdfReader

from tests.paper.raster import bottoms, pages, words
from walkaround.paper import labels
from walkaround.paper.labels import AddressTooLong, Label, labels_pdf
from walkaround.words import gettext

DPI = 150
PX = DPI / 25.4  # pixels in a millimetre
FONT = "/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf"  # as installed with WeasyPrint
SIGNS = [chr(code) for code in range(0x20, 0x7F)] + list("ÑÆØÅŒ")
LEAST_MODULE = 0.8  # mm; as check values ask of a printed label
LEAST_LETTER = 15.0  # mm; 1/200 of 3 m (common practice, no source)
MODULES_Q = {60: 37, 108: 49}  # ISO/IEC 18004: what versions 5 and 8 hold at level Q, their sides

L07 = Label("L07", "Big loader", "wheel loader", "https://site.example/q/aaaaaaaaaaaaaaaaaaaaaa")
LONG_TITLE = "Loader of the north face, with the wide bucket, from unit 12"
ONE_WORD = "Donaudampfschifffahrtsgesellschaftskapitaenswitwenrentenkas"
TO_CALL = ("the shift supervisor or the gatehouse, 555 0101 or 555 0102, channel 4 " * 2)[:120]
HOSTILE = [
    "<script>alert(1)</script>",
    "</style><b>x",
    "<img src=x>",
    "{{ 7*7 }}",
]


def printed(*some: Label, call: str | None = "the shift supervisor, 555 0101") -> bytes:
    return labels_pdf(some, "Gravel pit", "en", str, call)


def of(number: str, **other: str) -> Label:
    return replace(L07, number=number, **other)


@cache
def forty() -> tuple[list[Label], bytes]:
    made = [
        of(f"L{n:02}", title=LONG_TITLE[: n + 20], address=f"https://site.example/q/{n:022}")
        for n in range(40)
    ]
    return made, printed(*made)


def ink(page: Image.Image, box: tuple[float, float, float, float]) -> numpy.ndarray:
    """Return where a box, in mm from the upper left corner, is dark."""
    return numpy.asarray(page.crop(tuple(round(edge * PX) for edge in box))) < 128


def square(barcode: zxingcpp.Barcode) -> tuple[int, int, int, int]:
    at = barcode.position
    return at.top_left.x, at.top_left.y, at.bottom_right.x + 1, at.bottom_right.y + 1


def letter_height(page: Image.Image) -> float:
    """Return how high the ink of the first label's number is, in mm; the mark is left out."""
    rows = ink(page, (14, 12, 40, 33)).any(axis=1)
    runs = "".join("x" if row else " " for row in rows).split()
    return max(map(len, runs)) / PX


def test_every_label_of_forty_is_read_by_another_reader(pytestconfig: pytest.Config) -> None:
    made, pdf = forty()

    found = [
        code for page in pages(pytestconfig, pdf, DPI) for code in zxingcpp.read_barcodes(page)
    ]

    assert sorted(code.text for code in found) == sorted(label.address for label in made)
    assert {code.ec_level for code in found} == {"Q"}


@pytest.mark.parametrize("holds", MODULES_Q)
def test_a_module_is_never_smaller_than_can_be_read(
    pytestconfig: pytest.Config, holds: int
) -> None:
    label = of("L07", address=("https://" + "a" * 120)[: holds - 25] + "/q/" + "b" * 22)

    (code,) = zxingcpp.read_barcodes(pages(pytestconfig, printed(label), DPI)[0])
    left, _, right, _ = square(code)

    assert code.text == label.address
    assert (right - left) / PX / MODULES_Q[holds] >= LEAST_MODULE


def test_an_address_too_long_for_a_label_is_refused() -> None:
    label = of("L07", address="https://" + "a" * 75 + ".example/q/" + "b" * 22)

    with pytest.raises(AddressTooLong, match="shorter name"):
        printed(label)


@pytest.mark.parametrize("number", ["L07", "LOADER-00012", "WWWWWWWWWWWW"])
@pytest.mark.parametrize(
    "place", ["site.example", "a-rather-long-name-of-a-server-it-is.site.example"]
)
def test_the_quiet_zone_stays_white_on_the_page(
    pytestconfig: pytest.Config, number: str, place: str
) -> None:
    label = of(number, title=LONG_TITLE, address=f"https://{place}/q/{'b' * 22}")
    page = pages(pytestconfig, printed(label, call="the office " * 12), DPI)[0]

    (code,) = zxingcpp.read_barcodes(page)
    left, top, right, bottom = square(code)
    module = (right - left) / (17 + 4 * int(code.extra["Version"]))
    reach = round(4 * module) - 1  # ISO/IEC 18004 asks for 4 modules; a pixel for rounding
    dark = numpy.asarray(page) < 128
    dark[top - 1 : bottom + 1, left - 1 : right + 1] = False

    assert not dark[top - reach : bottom + reach, left - reach : right + reach].any()


@pytest.mark.parametrize("corner", ["upper right of the data", "left edge", "lower edge"])
def test_a_tenth_of_the_symbol_may_be_under_mud(pytestconfig: pytest.Config, corner: str) -> None:
    page = pages(pytestconfig, printed(L07), DPI)[0]
    (code,) = zxingcpp.read_barcodes(page)
    left, top, right, bottom = square(code)
    side = right - left
    across = round(side * 0.1**0.5)
    x, y = {
        "upper right of the data": (right - across, top + round(side * 0.3)),
        "left edge": (left, top + round(side * 0.34)),
        "lower edge": (left + round(side * 0.34), bottom - across),
    }[corner]

    ImageDraw.Draw(page).rectangle((x, y, x + across, y + across), fill=90)

    assert [code.text for code in zxingcpp.read_barcodes(page)] == [L07.address]


@pytest.mark.parametrize(
    "number", ["L07", "EX-204", "1234567", "GRADER-12", "LOADER-00012", "W" * 12]
)
def test_the_number_can_be_read_at_three_metres(pytestconfig: pytest.Config, number: str) -> None:
    page = pages(pytestconfig, printed(of(number)), DPI)[0]

    assert letter_height(page) >= LEAST_LETTER


@pytest.mark.parametrize(
    "number", ["L07", "L0789", "EX-204", "1234567", "GRADER-12", "0" * 12, "W" * 12]
)
def test_the_number_stays_inside_its_plate(pytestconfig: pytest.Config, number: str) -> None:
    blank, page = (
        pages(pytestconfig, printed(of(shown, address="https://" + "a" * 40 + "/q/b")), DPI)[0]
        for shown in (".", number)
    )

    added = numpy.argwhere(ink(page, (0, 0, 210, 34)) & ~ink(blank, (0, 0, 210, 34)))
    left, right = added[:, 1].min() / PX, added[:, 1].max() / PX

    assert left >= 13.1  # inside of the inner line: 8 mm margin, 2.6 to the plate, 2.5 of lines
    assert right <= 210 - 13.1


def test_the_room_reckoned_for_a_number_is_never_too_small() -> None:
    font = TTFont(FONT)
    names, advances = font.getBestCmap(), font["hmtx"]
    real = {sign: advances[names[ord(sign)]][0] / font["head"].unitsPerEm for sign in SIGNS}

    too_small = [sign for sign in SIGNS if labels._ems(sign) < real[sign]]

    assert too_small == []


def test_a_label_says_what_it_is_and_the_way_in_without_a_camera() -> None:
    said = words(printed(of("L07", title=LONG_TITLE)))

    for sentence in (
        "Wheel loader · " + LONG_TITLE,
        "Scan before the shift. Walk round it before you start it.",
        "No camera? Open site.example and type L07.",
        "Something wrong? Call the shift supervisor, 555 0101.",
        "This label gives no permission to start.",
        "Gravel pit",
    ):
        assert sentence in said


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("title", [LONG_TITLE, ONE_WORD])
@pytest.mark.parametrize("number", ["L07", "1234567890ABCDEF"])
def test_no_long_words_are_cut_off(
    pytestconfig: pytest.Config, number: str, title: str, language: str
) -> None:
    label = of(number, title=title, machine="wheel loader with a rake")

    pdf = labels_pdf([label], LONG_TITLE[::-1], language, gettext(language), TO_CALL)

    # what lies below these is clipped: 2.6 mm to the plate, 2.5 of lines, from paper.css
    ends = bottoms(pytestconfig, pdf)
    upper = [end for _, end in ends if end < 46]
    lower = [end for _, end in ends if end < 150]
    assert len(upper) > 6
    assert max(upper) <= 6 + 5.1 + 1.4 + 20.6 + 8 + 0.4  # number and machine, and a descender
    assert max(lower) <= 6 + 94 - 5.1 - 0.9 + 0.4


def test_the_token_stands_nowhere_but_in_the_code() -> None:
    assert "aaaa" not in words(printed(L07))


def test_without_anybody_to_call_nobody_is_named() -> None:
    assert "Call" not in words(printed(L07, call=None))


def test_words_come_through_gettext_and_the_language_is_told() -> None:
    spanish = {
        "No camera? Open %(place)s and type %(number)s.": "Abra %(place)s, ponga %(number)s."
    }

    pdf = labels_pdf([L07], "Cantera", "es", lambda words: spanish.get(words, words))

    assert PdfReader(io.BytesIO(pdf)).root_object["/Lang"] == "es"
    assert "Abra site.example, ponga L07." in words(pdf)


@pytest.mark.parametrize("words_of_a_stranger", HOSTILE)
def test_hostile_words_appear_as_they_were_written(words_of_a_stranger: str) -> None:
    label = of("L07", title=words_of_a_stranger, machine="m")

    said = words(labels_pdf([label], words_of_a_stranger, "en", str, words_of_a_stranger))

    # a line may end after a sign within them
    assert said.replace(" ", "").count(words_of_a_stranger.replace(" ", "")) == 3


def test_the_file_is_tagged_a4_with_title_and_nothing_to_complain_of(
    caplog: pytest.LogCaptureFixture,
) -> None:
    with caplog.at_level(logging.WARNING):
        file = PdfReader(io.BytesIO(printed(L07, of("W" * 12))))

    width, height = (float(edge) / 72 * 25.4 for edge in file.pages[0].mediabox[2:])
    assert (round(width), round(height)) == (210, 297)  # ISO 216
    assert file.metadata.title == "Labels of Gravel pit"
    assert file.root_object["/MarkInfo"]["/Marked"]
    assert b"pdfuaid" in file.root_object["/Metadata"].get_object().get_data()
    assert caplog.messages == []


def test_six_labels_stand_on_a_sheet_and_wide_ones_come_last() -> None:
    pdf = printed(of("GRADER-12"), *[of(f"L{n:02}") for n in range(7)])

    sheets = [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]

    assert [sheet.count("Scan before") for sheet in sheets] == [6, 2]
    assert sheets[1].index("type L06") < sheets[1].index("type GRADER-12")


def test_every_corner_of_a_label_has_its_cut_marks(pytestconfig: pytest.Config) -> None:
    page = pages(pytestconfig, forty()[1], DPI)[0]

    for x in (8, 105, 202):
        for y in (6, 100, 194, 288):
            across = ink(page, (x - 2, y - 0.4, x + 2, y + 0.4))
            down = ink(page, (x - 0.4, y - 2, x + 0.4, y + 2))
            assert across.any(axis=0).mean() > 0.45, (x, y)
            assert down.any(axis=1).mean() > 0.45, (x, y)


def test_a_sheet_without_labels_is_refused() -> None:
    with pytest.raises(ValueError, match="no label"):
        printed()
