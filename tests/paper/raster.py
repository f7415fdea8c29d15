"""PDF pages as pictures, by poppler: what a printer would put on paper."""

import io
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


def words(pdf: bytes) -> str:
    """Return the text of a PDF with the line ends taken for blanks."""
    return " ".join(
        " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split()
    )
