"""QR codes after ISO/IEC 18004, for print."""

import io

from PIL import Image
from qrcode.constants import ERROR_CORRECT_Q
from qrcode.main import QRCode

QUIET = 4  # modules of white on each side, as the standard asks


def matrix(text: str) -> list[list[bool]]:
    """Return rows of modules, True where dark, the quiet zone included.

    Level Q, about a quarter of the codewords: a label on a machine gets mud, scratches and grease.
    Level H takes one or two versions more for an address as long as ours: on the same label its
    modules are up to a sixth smaller, and then distance and a dull lens cost more than dirt does.
    """
    return [[bool(dark) for dark in row] for row in _code(text).get_matrix()]


def modules(text: str) -> int:
    """Return how many modules a side of the code has, the quiet zone included."""
    return int(_code(text, mask=0).modules_count) + 2 * QUIET


def png(text: str) -> bytes:
    """Return a grey picture, one pixel a module: quickest to print, and as sharp as a path."""
    rows = matrix(text)
    grey = bytes(0 if dark else 255 for row in rows for dark in row)
    out = io.BytesIO()
    Image.frombytes("L", (len(rows), len(rows)), grey).save(out, "PNG")
    return out.getvalue()


def _code(text: str, mask: int | None = None) -> QRCode:
    """Return a code; without a mask the standard's choice, which takes four times as long."""
    code = QRCode(error_correction=ERROR_CORRECT_Q, border=QUIET, mask_pattern=mask)
    code.add_data(text, optimize=0)  # one segment of bytes: the plainest form for any reader
    code.make(fit=True)
    return code
