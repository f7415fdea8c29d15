"""The signs of items: one grid, one line, told apart when small, and all of them named."""

import re
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import numpy
import pytest
from PIL import Image
from weasyprint import HTML

from tests.paper.raster import pages
from tests.signs import FOLDER, drawn, names
from walkaround.rules.sign import SIGNS

TOP = FOLDER.parents[2]
LARGEST = 400  # bytes
CLEAR = 3  # units of 48 that stay free on each side
SVG = "{http://www.w3.org/2000/svg}"
ROOT = {"viewBox": "0 0 48 48", "fill": "none", "stroke": "currentColor", "stroke-width": "4"}


@pytest.fixture(scope="module")
def printed(request: pytest.FixtureRequest) -> dict[str, Image.Image]:
    """Return every sign as a printer puts it on paper, a page of 48 mm each, 5 px a unit."""
    style = "<style>@page{size:48mm;margin:0}body{margin:0}svg{display:block}</style>"
    html = style + "".join(drawn(one, "48mm") for one in SIGNS)
    pdf = HTML(string=html).write_pdf()
    return dict(zip(SIGNS, pages(request.config, pdf, dpi=127), strict=True))


def test_every_name_has_its_file_and_every_file_its_name():
    assert names() == sorted(SIGNS)
    assert {path.suffix for path in FOLDER.iterdir()} == {".svg"}


@pytest.mark.parametrize("name", SIGNS)
def test_a_sign_is_one_line_on_the_grid_and_small(name: str):
    content = (FOLDER / f"{name}.svg").read_bytes()

    root = ElementTree.fromstring(content)

    assert (root.tag, root.attrib) == (f"{SVG}svg", ROOT)
    assert [(child.tag, [*child.attrib]) for child in root] == [(f"{SVG}path", ["d"])]
    assert re.fullmatch(r"[MLHVQTAZmlhvqtaz0-9 .-]+", root[0].attrib["d"])
    assert not "".join(root.itertext()).strip()
    assert len(content) < LARGEST


@pytest.mark.parametrize("name", SIGNS)
def test_a_printed_sign_keeps_its_margin_and_is_neither_faint_nor_a_blot(
    printed: dict[str, Image.Image], name: str
):
    ink = numpy.asarray(printed[name]) < 128
    rows, columns = numpy.nonzero(ink)
    clear = 5 * CLEAR - 1  # px, one for rounding

    assert min(rows.min(), columns.min()) >= clear
    assert max(rows.max(), columns.max()) < ink.shape[0] - clear
    assert 0.12 < ink.mean() < 0.5


def test_no_two_signs_look_alike_at_32_px(printed: dict[str, Image.Image]):
    small = {name: numpy.asarray(one.resize((32, 32))) / 255 for name, one in printed.items()}

    apart = {(a, b): float(abs(small[a] - small[b]).mean()) for a, b in combinations(small, 2)}

    assert min(apart.values()) > 0.1, min(apart, key=lambda pair: apart[pair])


def test_the_developers_page_shows_them_all_with_their_names():
    text = (TOP / "DEVELOPERS.md").read_text()

    shown = re.findall(r'<img src="static/signs/items/([^"]+)\.svg" width="48" alt=""> (\S+)', text)

    assert shown == [(name, name) for name in SIGNS]


def test_who_writes_a_list_finds_every_name():
    text = Path(TOP, "checklists", "README.md").read_text()
    table = text.partition("## Signs\n")[2].partition("\n## ")[0]

    assert re.findall(r"`([a-z-]+)`(?=,| \|)", table) == [*SIGNS]
