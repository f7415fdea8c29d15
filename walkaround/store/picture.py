"""Makes our own copies of a photo, as a program of its own with little memory and time."""

import io
import resource
import sys
import warnings
from typing import BinaryIO

from PIL import Image, ImageOps

FORMATS = ("JPEG", "PNG", "WEBP")
PIXELS = 40_000_000
LONG_EDGE, SMALL_EDGE = 1600, 320
QUALITY = 80
MEMORY = 1024**3  # bytes of addresses; 40 megapixels with transparency take 160 MB of them
SECONDS = 20  # of the processor

UNUSABLE = 65  # EX_DATAERR of sysexits.h: the input is at fault
LENGTH = 8  # bytes that say how long the first JPEG is


class NotAPicture(Exception):
    """These bytes are no single, whole picture of a format and size that is taken."""


def copies(data: bytes) -> tuple[bytes, bytes]:
    """Return a photo and its thumbnail as JPEGs of our own; raise NotAPicture."""
    Image.MAX_IMAGE_PIXELS = PIXELS
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)  # it would only warn
        try:
            with Image.open(io.BytesIO(data), formats=FORMATS) as sent:
                return _copies(sent)
        except NotAPicture:
            raise
        except Exception as error:  # decoders raise whatever they like on hostile bytes
            raise NotAPicture from error


def joined(large: bytes, small: bytes) -> bytes:
    """Return both JPEGs as one run of bytes."""
    return len(large).to_bytes(LENGTH, "big") + large + small


def parted(both: bytes) -> tuple[bytes, bytes]:
    """Return the two JPEGs of such a run."""
    end = LENGTH + int.from_bytes(both[:LENGTH], "big")
    return both[LENGTH:end], both[end:]


def _copies(sent: Image.Image) -> tuple[bytes, bytes]:
    # Phones add previews behind a JPEG (MPO); of other formats more than one picture is a film.
    if sent.format != "MPO" and getattr(sent, "n_frames", 1) > 1:
        raise NotAPicture
    sent.draft("RGB", (LONG_EDGE, LONG_EDGE))  # a large JPEG need not be decoded at full size
    made = _on_white(ImageOps.exif_transpose(sent))
    made.info.clear()  # a comment would travel on into the copy
    made.thumbnail((LONG_EDGE, LONG_EDGE))
    small = made.copy()
    small.thumbnail((SMALL_EDGE, SMALL_EDGE))
    return _jpeg(made), _jpeg(small)


def _on_white(sent: Image.Image) -> Image.Image:
    if not sent.has_transparency_data:
        return sent.convert("RGB")
    seen = sent.convert("RGBA")
    made = Image.new("RGB", seen.size, "white")
    made.paste(seen, mask=seen)
    return made


def _jpeg(made: Image.Image) -> bytes:
    written = io.BytesIO()
    made.save(written, "JPEG", quality=QUALITY, optimize=True)
    return written.getvalue()


def _main(sent: BinaryIO, made: BinaryIO) -> int:
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    try:
        large, small = copies(sent.read())
    except NotAPicture:
        return UNUSABLE
    made.write(joined(large, small))
    return 0


if __name__ == "__main__":
    sys.exit(_main(sys.stdin.buffer, sys.stdout.buffer))
