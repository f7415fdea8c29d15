"""A phone whose camera looks at a picture of the test's own."""

import io
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser

from tests.chromium import FLAGS, PHONE, Open, opened_on
from tests.pictures import written
from walkaround.paper import qr

FRAME = (640, 480)
CODE = 300  # pixels of the frame that the side of a code takes
GROUND = 120  # the grey of what a label is fixed on

Show = Callable[[Image.Image], None]


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file that the camera plays: JPEG pictures one after another, again and again."""
    path = tmp_path_factory.mktemp("lens") / "film.mjpeg"
    play(path, Image.new("L", FRAME, GROUND))
    return path


@pytest.fixture(scope="module")
def camera_browser(browser: Browser, film: Path) -> Iterator[Browser]:
    """Chromium with that camera."""
    camera = ["--use-fake-device-for-media-stream", f"--use-file-for-fake-video-capture={film}"]
    chromium = shutil.which("chromium")
    made = browser.browser_type.launch(executable_path=chromium, args=[*FLAGS, *camera])
    yield made
    made.close()


@pytest.fixture
def open_camera_phone(camera_browser: Browser) -> Iterator[Open]:
    """Open a phone with a camera, without a service worker that would hide requests."""
    yield from opened_on(camera_browser, {**PHONE, "service_workers": "block"})


@pytest.fixture
def show(film: Path) -> Show:
    """Hold a picture before the camera; it is seen from the camera's next start on."""
    return lambda picture: play(film, picture)


def held(paper: Image.Image, turned: float = 0) -> Image.Image:
    """Return the frame of a camera that looks at something printed."""
    leaf = paper.convert("L").rotate(
        turned, Image.Resampling.BICUBIC, expand=True, fillcolor=GROUND
    )
    frame = Image.new("L", FRAME, GROUND)
    frame.paste(leaf, ((FRAME[0] - leaf.width) // 2, (FRAME[1] - leaf.height) // 2))
    return frame


def code_of(text: str) -> Image.Image:
    """Return a code as labels print it, without what stands round it there."""
    code = Image.open(io.BytesIO(qr.png(text)))
    return code.resize((CODE, CODE), Image.Resampling.NEAREST)


def play(film: Path, picture: Image.Image) -> None:
    """Put a film in the place of the one before, whole."""
    made = film.with_suffix(".new")
    made.write_bytes(written(picture.convert("RGB"), quality=90) * 2)
    os.replace(made, film)
