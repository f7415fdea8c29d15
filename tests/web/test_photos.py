import io

import pytest

from tests import make, pictures
from walkaround.rules import instant
from walkaround.store import photos


def put(client, data=None, name=None, **options):
    data = pictures.telling() if data is None else data
    return client.api("PUT", f"/photos/{name or photos.name_of(data)}", data=data, **options)


def sent(client, data=None):
    answer = put(client, data)
    assert answer.status_code == 201, answer.text
    return answer.json["sha256"]


def name_in_entry(client, name):
    body = {"what": "Hose weeping", "photos": [name]}
    answer = client.api("POST", "/entries", json={
        "sent_at": instant.text(make.at(30)), "entries": [make.entry("defect", body)]
    })  # fmt: skip
    assert answer.json["results"][0]["result"] == "accepted"


def test_a_photo_is_taken_once_and_may_come_again(operator):
    first, again = put(operator), put(operator)

    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json == again.json == {"sha256": photos.name_of(pictures.telling())}


def test_where_a_photo_was_put_it_can_be_read(operator):
    answer = operator.get(put(operator).headers["Location"])

    assert answer.status_code == 200
    assert pictures.opened(answer.data).format == "JPEG"


@pytest.mark.parametrize("path", ["/photos/", "/api/v1/photos/"])
def test_a_photo_is_served_as_ours_alone(operator, path):
    name = sent(operator)

    answer = operator.get(path + name)

    assert answer.content_type == "image/jpeg"
    assert answer.headers["Content-Disposition"] == f'inline; filename="{name}.jpg"'
    assert answer.headers["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert pictures.TAIL not in answer.data
    assert not pictures.opened(answer.data).getexif()


def test_a_small_one_is_asked_for_by_name(operator):
    name = sent(operator, pictures.jpeg(2000, 1000))

    small = operator.get(f"/photos/{name}?small")

    assert pictures.opened(small.data).size == (320, 160)


def test_a_browser_that_has_it_is_told_so_after_the_right_check(operator, mechanic):
    name = sent(operator)
    tag = operator.get(f"/photos/{name}").headers["ETag"]

    assert operator.get(f"/photos/{name}", headers={"If-None-Match": tag}).status_code == 304
    assert mechanic.get(f"/photos/{name}", headers={"If-None-Match": tag}).status_code == 404


def test_nobody_but_its_sender_sees_a_photo_until_an_entry_names_it(operator, mechanic):
    name = sent(operator)
    before = [mechanic.get(p + name).status_code for p in ("/photos/", "/api/v1/photos/")]
    name_in_entry(operator, name)
    after = [mechanic.get(p + name).status_code for p in ("/photos/", "/api/v1/photos/")]

    assert (before, after) == ([404, 404], [200, 200])


def test_who_is_not_signed_in_sees_no_photo(operator, client):
    name = sent(operator)
    name_in_entry(operator, name)

    page, program = client.get(f"/photos/{name}"), client.get(f"/api/v1/photos/{name}")

    assert (page.status_code, page.headers["Location"][:8]) == (303, "/sign-in")
    assert (program.status_code, program.content_type) == (401, "application/problem+json")


@pytest.mark.parametrize(
    "name", ["0" * 64, "x", "..%2F..%2Fkeys%2Fpin_key", "CON", "%00", "a" * 4096]
)
def test_a_name_that_nothing_has_leads_nowhere(operator, name):
    assert operator.get(f"/photos/{name}").status_code == 404
    assert operator.get(f"/api/v1/photos/{name}").status_code == 404


def test_the_bytes_as_sent_are_not_served(operator):
    name = sent(operator)

    assert operator.get(f"/photos/{name}.sent").status_code == 404


@pytest.mark.parametrize(
    ("data", "name", "status"),
    [
        (b"\xff\xd8\xff" + bytes(photos.LARGEST), None, 413),
        (b"no picture at all", None, 415),
        (pictures.bomb(), None, 415),
        (pictures.film("WEBP"), None, 415),
        (pictures.jpeg(), "0" * 64, 422),
        (pictures.jpeg(), "not-a-hash", 422),
        (b"", photos.name_of(pictures.jpeg()), 422),
    ],
)
def test_what_cannot_be_taken_says_why(operator, data, name, status):
    answer = put(operator, data, name)

    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"
    assert answer.json["status"] == status


def test_a_flood_without_a_length_is_cut(operator):
    flood = Flood(1024**3)

    answer = operator.api(
        "PUT",
        f"/photos/{'0' * 64}",
        input_stream=flood,
        environ_overrides={"wsgi.input_terminated": True, "HTTP_TRANSFER_ENCODING": "chunked"},
    )

    assert answer.status_code == 413
    assert flood.given <= 20 * 1024**2


def test_a_photo_without_the_header_is_refused(operator):
    data = pictures.jpeg()

    answer = operator.put(f"/api/v1/photos/{photos.name_of(data)}", data=data)

    assert (answer.status_code, answer.json["type"]) == (400, "csrf")


class Flood(io.RawIOBase):
    """A body that comes to an end only after very many bytes, and counts what was taken of it."""

    def __init__(self, length: int) -> None:
        self.length, self.given = length, 0

    def readable(self) -> bool:
        return True

    def tell(self) -> int:
        return 0

    def seek(self, *_place: int) -> int:
        return 0

    def readinto(self, buffer) -> int:
        count = min(len(buffer), self.length - self.given)
        buffer[:count] = bytes(count)
        self.given += count
        return count


def test_a_photo_whose_file_is_gone_is_said_in_words_and_not_shown(operator, mechanic):
    name = sent(operator)
    name_in_entry(operator, name)
    folder = operator.application.extensions["walkaround"].config.data / "photos"

    for file in folder.glob(f"*/{name}*"):
        file.unlink()

    for page in (operator.page("/units/L07"), mechanic.page("/defects")):
        assert "its file is gone from the server" in page.text
        assert not page.find("img")
