import re
from typing import Any

import pytest
import zxingcpp
from bs4 import BeautifulSoup
from PIL import Image, ImageDraw

from tests.client import Client, inspected


def test_phones_are_listed_with_when_they_were_last_seen(supervisor: Client):
    page = supervisor.page("/phones")

    assert "enrolled today 06:00" in page.text
    assert "last seen today 06:30" in page.text
    assert "this one" in page.text


def test_a_phone_is_enrolled_with_the_link_that_is_shown(supervisor: Client, client: Client):
    page = inspected(supervisor.submit("/phones/new", name="Cab of L07"))
    link = page.find(class_="code__link")["href"]

    answer = client.get(link.removeprefix("http://127.0.0.1:8000"))

    assert answer.status_code == 303
    assert "until 06:40" in page.text
    assert "Cab of L07" in supervisor.page("/phones").text


def test_the_code_is_the_link(supervisor: Client):
    page = inspected(supervisor.submit("/phones/new"))

    # decoded by an independent reader
    (code,) = zxingcpp.read_barcodes(drawn(page))

    assert code.text == page.find(class_="code__link")["href"]


def test_a_phone_shut_out_is_signed_out_at_once(supervisor: Client, operator: Client):
    path = operators_phone(supervisor)
    supervisor.page(path)

    assert supervisor.submit(path).status_code == 303

    assert operator.get("/units").status_code == 303
    assert "not enrolled" in operator.page("/sign-in").h1.text
    assert "shut out today 06:30" in supervisor.page("/phones").text


def test_a_name_too_long_is_refused(supervisor: Client):
    page = supervisor.refused("/phones/new", name="x" * 81)

    assert page.find(id="name-error")


def test_the_pin_is_asked_for_when_the_last_proof_is_old(
    supervisor: Client, operator: Client, clock: Any
):
    path = operators_phone(supervisor)
    clock.shift(6 * 60)

    assert supervisor.refused("/phones/new").find(id="pin-error")
    assert supervisor.refused(path).find(id="pin-error")


@pytest.mark.parametrize("path", ["/phones", "/phones/new", "/phones/1/shutting-out"])
def test_phones_are_the_supervisors(client: Client, operator: Client, mechanic: Client, path: str):
    assert client.get(path).status_code == 303
    operator.page(path, status=403)
    mechanic.page(path, status=403)


def test_no_other_phone_can_be_shut_out(supervisor: Client):
    supervisor.page("/phones/1/shutting-out", status=404)


def operators_phone(supervisor: Client) -> str:
    """Return where the phone that is not the supervisor's own is shut out."""
    rows = supervisor.page("/phones").find_all(class_="row")
    (other,) = [row for row in rows if "this one" not in row.text]
    return str(other.a["href"])


def drawn(page: BeautifulSoup) -> Image.Image:
    """Draw the code's path as a browser would, eight pixels a module."""
    svg = page.find(class_="code")
    side = int(svg["viewbox"].split()[2]) * 8
    image = Image.new("L", (side, side), 255)
    draw = ImageDraw.Draw(image)
    for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", svg.find_all("path")[1]["d"]):
        left, top = int(x) * 8, int(y) * 8
        draw.rectangle((left, top, left + 7, top + 7), fill=0)
    return image
