"""Pictures for tests: what phones send, and what somebody with bad intentions would."""

import io
import struct
import zlib
from typing import Any

from PIL import Image, ImageDraw

ORIENTATION, MAKER, GPS = 0x0112, 0x010F, 0x8825  # tags of Exif 2.32 (CIPA DC-008), table 4 and 10
TAIL = b"<script>alert(document.domain)</script>"
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">somebody was here</x:xmpmeta>'


def drawn(width: int = 120, height: int = 80, mode: str = "RGB") -> Image.Image:
    """Return a grey picture whose upper left corner is red."""
    made = Image.new("RGB", (width, height), (90, 90, 90))
    ImageDraw.Draw(made).rectangle((0, 0, width // 4, height // 4), fill=(220, 0, 0))
    return made.convert(mode)


def written(picture: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    """Return a picture as a file."""
    file = io.BytesIO()
    picture.save(file, kind, **options)
    return file.getvalue()


def jpeg(width: int = 120, height: int = 80) -> bytes:
    """Return a plain photo."""
    return written(drawn(width, height))


def opened(data: bytes) -> Image.Image:
    """Return a file as a picture."""
    return Image.open(io.BytesIO(data))


def telling() -> bytes:
    """Return a photo that says where and by whom it was taken, and goes on behind its end."""
    exif = Image.Exif()
    exif[ORIENTATION] = 6  # turn it a quarter clockwise to see it upright
    exif[MAKER] = "Invented Camera Works"
    exif[GPS] = {1: "N", 2: (41.0, 30.0, 0.0), 3: "W", 4: (4.0, 10.0, 0.0)}
    options = {"exif": exif, "xmp": XMP, "comment": b"a comment", "icc_profile": b"profile" * 40}
    return written(drawn(), **options) + TAIL


def film(kind: str) -> bytes:
    """Return a file with two pictures that follow each other."""
    return written(drawn(), kind, save_all=True, append_images=[drawn(120, 80).rotate(90)])


def bomb(width: int = 60_000, height: int = 60_000) -> bytes:
    """Return a small PNG that says it is huge (PNG 3rd edition, 11.2.1: IHDR)."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = zlib.compress(bytes(10_000_000), 9)
    chunks = [(b"IHDR", head), (b"IDAT", rows), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )
