"""Whatever changes something is guarded, and whatever only reads changes nothing."""

import hashlib
from urllib.parse import urlencode

import pytest
from werkzeug.test import encode_multipart

from tests import make
from tests.client import inspected
from tests.web.routes import addresses, much
from walkaround.actions.add_phone import add_phone
from walkaround.rules import instant
from walkaround.web import bounds

WRITING_GET = {"sign_in.enrol"}  # it enrols the browser that opens it, once


@pytest.fixture
def filled(db, of_operator, of_mechanic, of_supervisor):
    return much(db, of_operator, of_mechanic, of_supervisor)


def unsafe(app, filled=None):
    return [one for one in addresses(app, filled) if one.method != "GET"]


def test_nothing_changes_without_a_token(app, filled, supervisor):
    for address in unsafe(app, filled):
        answer = supervisor.open(address.path, method=address.method, data={"x": "y"})

        assert answer.status_code == 400, address
        assert "open for too long" in answer.text, address


@pytest.mark.parametrize("token", ["", "x", "IjAi.x.y", "é", "x" * 4000])
def test_a_token_of_nobodys_is_no_token(app, supervisor, token):
    for address in unsafe(app):
        if len(token) < bounds.SIGN_IN // 2:
            answer = supervisor.open(
                address.path, method=address.method, data={"csrf_token": token}
            )

            assert answer.status_code == 400, address


def test_the_token_of_another_browser_is_no_token(app, supervisor, operator):
    token = operator.token()

    for address in unsafe(app):
        headers = {"X-CSRF-Token": token}
        answer = supervisor.open(address.path, method=address.method, headers=headers)

        assert answer.status_code == 400, address


def test_a_form_that_was_open_for_hours_is_still_good(operator, clock):
    token = operator.token()
    clock.shift(3 * 3600)

    assert operator.post("/sign-out", data={"csrf_token": token}).status_code == 303


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        # Fetch Metadata (W3C), 2.3: Sec-Fetch-Site
        ({"Sec-Fetch-Site": "same-origin"}, 200),
        ({"Sec-Fetch-Site": "none"}, 200),
        ({"Sec-Fetch-Site": "cross-site"}, 400),
        ({"Sec-Fetch-Site": "cross-site", "Origin": "http://localhost"}, 400),
        # RFC 6454, 7: Origin, where a browser does not tell the first
        ({"Origin": "http://localhost"}, 200),
        ({"Origin": "http://127.0.0.1:8000"}, 200),
        ({"Origin": "https://evil.example"}, 400),
        ({"Origin": "http://localhost.evil.example"}, 400),
        ({"Origin": "null"}, 400),
        ({}, 200),
    ],
)
def test_what_another_site_made_a_browser_send_is_refused(operator, headers, status):
    batch = {"sent_at": instant.text(make.at(30)), "entries": []}

    answer = operator.api("POST", "/entries", json=batch, headers=headers)

    assert answer.status_code == status


def test_a_link_from_another_site_may_be_followed(operator):
    assert operator.get("/units", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


def dump(engine):
    with engine.connect() as connection:
        lines = connection.connection.driver_connection.iterdump()
        return hashlib.sha256("\n".join(lines).encode()).hexdigest()


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS"])
def test_reading_writes_nothing(app, filled, request, engine, method):
    clients = [request.getfixturevalue(n) for n in ("client", "mechanic", "supervisor")]
    before = dump(engine)

    for address in addresses(app, filled):
        if address.method == "GET" and address.endpoint not in WRITING_GET:
            for client in clients:
                client.open(address.path, method=method, buffered=True)

            assert dump(engine) == before, address


def test_a_program_that_reads_writes_only_that_its_token_was_used(
    app, filled, of_supervisor, engine
):
    of_supervisor.read("/me")
    before = dump(engine)

    for address in addresses(app, filled):
        if address.method == "GET" and address.path.startswith("/api/v1"):
            of_supervisor.call("GET", address.path.removeprefix("/api/v1"), buffered=True)

    assert dump(engine) == before


def test_looking_at_the_link_that_enrols_does_not_use_it_up(client, db):
    code = add_phone(db, None, make.at(29))

    assert client.head(f"/enrol/{code}").status_code == 405
    assert client.get(f"/enrol/{code}").status_code == 303


@pytest.mark.parametrize("method", ["TRACE", "PROPFIND", "CONNECT", "PATCH", "BREW"])
@pytest.mark.parametrize("path", ["/units", "/sign-in", "/api/v1/entries", "/api/v1/units"])
def test_methods_that_nobody_offers_are_405(supervisor, path, method):
    answer = supervisor.open(path, method=method)

    assert answer.status_code == 405
    assert answer.headers["Allow"]  # RFC 9110, 15.5.6


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "evil.example:8000",
                                  "127.0.0.1.evil.example", "a@evil.example", ""])  # fmt: skip
@pytest.mark.parametrize("path", ["/sign-in", "/api/v1/me", "/q/x", "/nothing"])
def test_a_foreign_host_is_refused(client, host, path):
    answer = client.get(path, headers={"Host": host})

    assert answer.status_code == 400
    assert "evil" not in answer.text


def test_each_limit_is_that_of_a_route(app):
    assert {*bounds.LIMITS, *bounds.WITH_PHOTOS} <= {
        rule.endpoint for rule in app.url_map.iter_rules()
    }


def test_each_route_bounds_what_comes_in(app, filled, supervisor):
    for address in unsafe(app, filled):
        over = bounds.LIMITS.get(address.endpoint, bounds.FORM) + 2
        headers = {"X-CSRF-Token": supervisor.token(), "Content-Type": "text/plain"}
        flood = {"CONTENT_LENGTH": str(over)}
        answer = supervisor.open(
            address.path, method=address.method, headers=headers, environ_overrides=flood
        )

        assert answer.status_code == 413, address


def in_parts(fields):
    boundary, data = encode_multipart(fields)
    return {"data": data, "content_type": f"multipart/form-data; boundary={boundary}"}


def in_one(fields):
    return {"data": urlencode(fields), "content_type": "application/x-www-form-urlencoded"}


@pytest.mark.parametrize(
    ("way", "status", "words"), [(in_parts, 413, "too large"), (in_one, 422, "longer than")]
)
def test_a_note_of_600_kb_is_answered_with_words(operator, way, status, words):
    path = "/units/L07/defects/new"
    entry = operator.page(path, item="tyre").find("input", attrs={"name": "entry"})["value"]
    fields = {"what": "x" * 600_000, "entry": entry, "csrf_token": operator.token()}

    answer = operator.post(f"{path}?item=tyre", **way(fields))

    assert (answer.status_code, words in answer.text) == (status, True)
    assert inspected(answer)


def test_a_form_of_many_thousand_parts_is_answered_with_words(operator):
    fields = {f"field{n}": "x" for n in range(2000)}

    answer = operator.post(
        "/units/L07/defects/new", **in_parts({**fields, "csrf_token": operator.token()})
    )

    assert answer.status_code == 413
    assert "<h1" in answer.text


@pytest.mark.parametrize("junk", [b"\xff\xfe", b"%", b"%zz=%f", b"\0=\0", b"a" * 3000, b"=&=&;"])
def test_junk_in_addresses_and_forms_is_no_server_error(app, filled, supervisor, junk):
    failed = []

    for address in addresses(app, filled):
        options = {"query_string": junk.decode("latin-1")}
        if address.method != "GET":
            options["data"] = junk
            options["headers"] = {"X-CSRF-Token": supervisor.token()}
            options["content_type"] = "application/x-www-form-urlencoded"
        if address.endpoint not in ("sign_in.out", "phones.shutting_out"):
            answer = supervisor.open(address.path, method=address.method, buffered=True, **options)
            failed += [address.name] if answer.status_code >= 500 else []

    assert not failed
