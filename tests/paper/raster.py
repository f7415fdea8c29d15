"""PDF pages as pictures, by poppler: what a printer would put on paper."""

import io
import re
import subprocess
import tempfile
from pathlib import Path

import numpy
import pytest
from PIL import Image
from pypdf import PdfReader

from tests.programs import need

Picture = numpy.ndarray


def pages(config: pytest.Config, pdf: bytes, dpi: int = 150) -> list[Image.Image]:
    """Return every page in grey."""
    program = need(config, "pdftoppm")
    with tempfile.TemporaryDirectory() as folder:
        command = [str(program), "-r", str(dpi), "-gray", "-", f"{folder}/page"]
        subprocess.run(command, input=pdf, check=True, timeout=120)
        return [
            Image.open(io.BytesIO(path.read_bytes())) for path in sorted(Path(folder).iterdir())
        ]


def bottoms(config: pytest.Config, pdf: bytes) -> list[tuple[str, float]]:
    """Return every word of the first page and where it ends, in mm from the upper edge."""
    program = need(config, "pdftotext")
    command = [str(program), "-bbox", "-l", "1", "-", "-"]
    found = subprocess.run(command, input=pdf, check=True, capture_output=True, timeout=120)
    lines = re.findall(r'yMax="([\d.]+)">(.*?)</word>', found.stdout.decode())
    return [(word, float(bottom) * 25.4 / 72) for bottom, word in lines]


def words(pdf: bytes) -> str:
    """Return the text of a PDF with the line ends taken for blanks."""
    return " ".join(
        " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split()
    )
