import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.paper.raster import words
from walkaround.paper import sheet

PAGE = '<html lang="en"><title>t</title>{}<p>words</p>'
TOUCHED: list[tuple[str, str]] = []
LISTENING = [False]
NETWORK = ("socket.", "http.", "ftplib.")


def _listen(event: str, arguments: tuple[object, ...]) -> None:
    if LISTENING[0] and (event == "open" or event.startswith(NETWORK)):
        TOUCHED.append((event, str(arguments[0]) if arguments else ""))


sys.addaudithook(_listen)  # cannot be taken away again: hence the switch


@pytest.fixture
def touched() -> Iterator[list[tuple[str, str]]]:
    sheet.printed(PAGE.format(""), [])  # what WeasyPrint opens for itself is open by then
    TOUCHED.clear()
    LISTENING[0] = True
    yield TOUCHED
    LISTENING[0] = False


@pytest.fixture
def secret(tmp_path: Path) -> Path:
    file = tmp_path / "secret.txt"
    file.write_text("a key")
    return file


# The ways out that the makers of WeasyPrint name in their chapter on security and their advisories.
WAYS_OUT = [
    "<link rel=attachment href={}>",
    "<a rel=attachment href={}>x</a>",
    "<link rel=stylesheet href={}>",
    "<style>@import '{}';</style>",
    "<style>p {{ background: url({}) }}</style>",
    "<style>@font-face {{ font-family: x; src: url({}) }} p {{ font-family: x }}</style>",
    "<style>p::before {{ content: url({}) }}</style>",
    "<img src={}>",
    "<object data={}></object>",
    "<embed src={}>",
    "<svg><image href='{}' width='9' height='9'/></svg>",
]


@pytest.mark.parametrize("where", ["file", "http", "relative"])
@pytest.mark.parametrize("way", WAYS_OUT)
def test_a_page_that_loads_anything_is_not_printed(
    way: str, where: str, secret: Path, touched: list[tuple[str, str]]
) -> None:
    address = {"file": secret.as_uri(), "http": "http://127.0.0.1:9/x", "relative": "x.css"}[where]

    with pytest.raises(sheet.NotPrinted):
        sheet.printed(PAGE.format(way.format(address)), [])

    assert [event for event, _ in touched if event != "open"] == []
    assert str(secret) not in [name for _, name in touched]


@pytest.mark.parametrize(
    "css", ["@import 'file:///etc/hostname';", "p { background: url(http://127.0.0.1:9/) }"]
)
def test_a_style_that_loads_anything_is_not_printed(
    css: str, touched: list[tuple[str, str]]
) -> None:
    with pytest.raises(sheet.NotPrinted):
        sheet.printed(PAGE.format(""), [css])

    assert touched == []


def test_the_listener_hears_a_file_that_is_opened(
    secret: Path, touched: list[tuple[str, str]]
) -> None:
    secret.read_text()

    assert touched == [("open", str(secret))]


def test_what_the_page_holds_itself_is_printed(touched: list[tuple[str, str]]) -> None:
    pdf = sheet.printed(PAGE.format("<img alt='words' src='data:image/svg+xml,<svg/>'>"), [])

    assert words(pdf) == "words"
    assert [event for event, _ in touched if event != "open"] == []


def test_a_broken_data_address_is_no_silent_gap() -> None:
    with pytest.raises(sheet.NotPrinted):
        sheet.printed(PAGE.format("<img alt=x src='data:image/png'>"), [])
