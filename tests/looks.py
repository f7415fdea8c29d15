"""How a page looks, as a small picture of its masses: plates, buttons, blocks of words.

Letters are melted away, and rows are laid side by side in their order even where one stands lower,
so that another font or another hour makes little difference, and a layout that falls apart does.
LOOKS=new bash tests/run tests/browser/test_looks.py stores the pictures anew.
"""

import io
from itertools import product
from pathlib import Path

from PIL import Image, ImageFilter

STORED = Path(__file__).parent / "browser" / "looks"
CELL = 15  # pixels of the page that become one of the small picture
STRONG = 40  # of 255: so far apart that a cell counts as another
MOST = 0.08  # of the cells; other fonts came to 0.053, broken layouts to 0.19 and more


def small(png: bytes) -> Image.Image:
    """Return the masses of a screenshot."""
    page = Image.open(io.BytesIO(png)).convert("L").filter(ImageFilter.BoxBlur(CELL / 2))
    return page.resize((page.width // CELL, page.height // CELL), Image.Resampling.BOX)


def stored(name: str) -> Image.Image:
    """Return the small picture that is stored."""
    with Image.open(STORED / f"{name}.png") as picture:
        return picture.convert("L")


def differing(one: Image.Image, other: Image.Image) -> float:
    """Return which part of the cells differs along the best way through both, row by row.

    Dynamic time warping (Sakoe and Chiba, 1978): words that break into one more line move all
    below them, and are the same page.
    """
    if one.width != other.width:
        return 1.0
    best: dict[tuple[int, int], float] = {(-1, -1): 0.0}
    for here in product(range(one.height), range(other.height)):
        row, place = here
        before = [(row - 1, place - 1), (row - 1, place), (row, place - 1)]
        least = min(best.get(way, float("inf")) for way in before)
        best[here] = least + _apart(_row(one, row), _row(other, place))
    return best[one.height - 1, other.height - 1] / max(one.height, other.height)


def _row(picture: Image.Image, row: int) -> bytes:
    return picture.tobytes()[row * picture.width : (row + 1) * picture.width]


def _apart(one: bytes, other: bytes) -> float:
    return sum(abs(a - b) > STRONG for a, b in zip(one, other, strict=True)) / len(one)
