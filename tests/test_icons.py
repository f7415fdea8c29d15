"""The icons of the home screen: as drawn, opaque, and whole under whatever mask they get."""

import numpy
import pytest
from PIL import Image
from weasyprint import HTML

from tests.icons import FOLDER, GROUND, PICTURES, STYLE, source, stored
from tests.paper.raster import pages

MASKED = [(sign, size) for sign, size in PICTURES if sign != "app"]
MOST = 0.001  # of the pixels; 0.0001 between the two programs that draw, 0.12 between two signs


def printed(config: pytest.Config, sign: str, size: int) -> numpy.ndarray:
    """Return a sign in grey as another program draws it: WeasyPrint and poppler, no browser."""
    style = f"<style>@page {{ size: {size}px; margin: 0 }} {STYLE}</style>"
    svg = source(sign).replace("<svg ", f'<svg width="{size}" height="{size}" ', 1)
    (picture,) = pages(config, HTML(string=style + svg).write_pdf(), dpi=96)
    return numpy.asarray(picture).astype(float)


def taken(sign: str, size: int) -> Image.Image:
    with Image.open(stored(sign, size)) as picture:
        return picture.copy()


def test_every_picture_has_its_drawing_and_every_drawing_its_picture():
    icons = {path.name for path in FOLDER.glob("*-*.png")}

    assert icons == {stored(*one).name for one in PICTURES}
    assert {path.stem for path in FOLDER.glob("*.svg")} < {sign for sign, _ in PICTURES}


@pytest.mark.parametrize(("sign", "size"), PICTURES)
def test_a_picture_is_as_large_as_its_name_says_and_opaque(sign: str, size: int):
    picture = taken(sign, size)

    assert picture.size == (size, size)
    assert (picture.mode, "transparency" in picture.info) == ("RGB", False)
    assert picture.getpixel((0, 0)) == tuple(bytes.fromhex(GROUND[1:]))


@pytest.mark.parametrize(("sign", "size"), PICTURES)
def test_a_picture_is_what_the_drawing_shows(sign: str, size: int, pytestconfig: pytest.Config):
    drawing = printed(pytestconfig, sign, size)

    apart = abs(drawing - numpy.asarray(taken(sign, size).convert("L"))) > 128

    assert apart.mean() < MOST


def test_another_sign_is_noticed(pytestconfig: pytest.Config):
    drawing = printed(pytestconfig, "scan", 192)

    apart = abs(drawing - numpy.asarray(taken("waiting", 192).convert("L"))) > 128

    assert apart.mean() > MOST


@pytest.mark.parametrize(("sign", "size"), MASKED)
def test_a_sign_that_may_be_masked_lies_inside_the_safe_zone_and_fills_it(sign: str, size: int):
    # W3C Web Application Manifest, "Icon masks and safe zone" (w3.org/TR/appmanifest/#icon-masks):
    # a circle round the middle, its radius 2/5 of the smaller side.
    picture = numpy.asarray(taken(sign, size)).astype(float)

    ink = abs(picture - picture[0, 0]).max(axis=2) > 8
    rows, columns = numpy.nonzero(ink)
    middle = (size - 1) / 2
    farthest = numpy.hypot(rows - middle, columns - middle).max()

    assert 0.35 * size < farthest <= 0.4 * size


def test_the_programs_own_sign_is_larger_where_nothing_masks_it():
    plain, masked = (
        numpy.asarray(taken(sign, 512)).min(axis=2) < 128 for sign in ("app", "maskable")
    )

    assert numpy.ptp(numpy.nonzero(plain)[1]) > 1.2 * numpy.ptp(numpy.nonzero(masked)[1])
