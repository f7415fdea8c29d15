"""Pictures of the invented site: flat shapes that say that they are no photos."""

import hashlib
import io

from PIL import Image, ImageDraw, ImageFont

SIZE = (960, 720)
GROUND, SHAPE, MARK, WORDS = "#5a6068", "#c8a24a", "#1d2024", "#f4f2ec"


def picture(words: str) -> bytes:
    """Return a JPEG; the same words make the same picture."""
    image = Image.new("RGB", SIZE, GROUND)
    draw = ImageDraw.Draw(image)
    digest = hashlib.sha256(words.encode()).digest()
    left, top = 170 + digest[0] // 2, 170 + digest[1] // 2
    draw.rectangle((left, top, left + 420, top + 260), fill=SHAPE)
    draw.line((left, top + 40, left + 420, top + 60 + digest[2] // 2), fill=MARK, width=14)
    draw.ellipse((left + 150, top + 90, left + 270, top + 210), outline=MARK, width=12)
    for height, size, text in ((90, 72, "demo photo"), (660, 48, words)):
        font = ImageFont.load_default(size)  # in the middle, where a square thumbnail shows it
        draw.text((SIZE[0] // 2, height), text, fill=WORDS, font=font, anchor="mm")
    written = io.BytesIO()
    image.save(written, "JPEG", quality=80)
    return written.getvalue()
