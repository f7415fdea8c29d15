"""What every answer says to the browser, byte for byte (OWASP ASVS 5.0.0, 3.4.1 to 3.4.8)."""

import base64
import hashlib
import re

import pytest

from tests import make, pictures
from tests.client import Client
from tests.people import some_keys
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.app import create_app
from walkaround.config import Config
from walkaround.store import photos
from walkaround.store.db import make_session

PHOTO = photos.name_of(pictures.jpeg())
ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
}
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'sha256-{hash}'; "
    "img-src 'self' blob:; font-src 'self'; connect-src 'self'; manifest-src 'self'; "
    "worker-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'; "
    "object-src 'none'; require-trusted-types-for 'script'; trusted-types walkaround"
)
# what is asked, how, and the status that comes back
ASKED = {
    "page": ("GET", "/sign-in", 200),
    "led on": ("GET", "/", 303),
    "taken in": ("POST", "/sign-out", 303),
    "without a token": ("POST", "/sign-in", 400),
    "no such page": ("GET", "/nothing", 404),
    "no such method": ("DELETE", "/units", 405),
    "too large": ("POST", "/sign-in", 413),
    "other roles": ("GET", "/people", 403),
    "broken": ("GET", "/broken", 500),
    "json": ("GET", "/api/v1/units", 200),
    "problem": ("GET", "/api/v1/units/X99", 404),
    "too many entries": ("POST", "/api/v1/entries", 413),
    "pdf": ("GET", "/labels.pdf", 200),
    "photo": ("GET", f"/photos/{PHOTO}", 200),
    "static": ("GET", "", 200),
    "no such file": ("GET", "/static/0123456789abcdef/x.js", 404),
    "alive": ("GET", "/healthz", 200),
    "ready": ("GET", "/readyz", 200),
    "label": ("GET", "/q/nothing", 404),
}


@pytest.fixture
def broken(app):
    """The program with an address at which something goes wrong."""

    def fail():
        raise RuntimeError("select pin_hash from person -- /srv/walkaround/keys")

    app.add_url_rule("/broken", "broken", fail)
    app.add_url_rule("/api/v1/broken", "api-broken", fail)
    return app


def asked(name, operator, supervisor):
    """Ask for one of these and return the answer."""
    method, path, status = ASKED[name]
    client = operator if name == "other roles" else supervisor
    token = None if name == "without a token" else supervisor.token()
    if name == "photo":
        supervisor.api("PUT", f"/photos/{PHOTO}", data=pictures.jpeg())
    if name == "static":
        path = re.search(r'"(/static/[^"]+)"', supervisor.get("/sign-in").text)[1]
    data = b"x" * 5_000_000 if status == 413 else None
    headers = {"X-CSRF-Token": token or ""}
    answer = client.open(path, method=method, data=data, headers=headers, buffered=True)
    assert answer.status_code == status, answer.text[:500]
    return answer


@pytest.mark.parametrize("name", ASKED)
def test_every_answer_carries_the_same_headers(broken, operator, supervisor, name):
    style = re.search(r"<style>(.*?)</style>", supervisor.get("/sign-in").text, re.DOTALL)[1]
    # Content Security Policy Level 3, 2.3.1: 'sha256-' and base64 of the digest of the style
    hash = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()

    headers = asked(name, operator, supervisor).headers

    own = {"photo": "sandbox; default-src 'none'"}
    assert {one: headers.get(one) for one in ALWAYS} == ALWAYS
    assert headers.get_all("Content-Security-Policy") == [own.get(name, POLICY.format(hash=hash))]


@pytest.mark.parametrize("name", ASKED)
def test_only_hashed_files_may_be_kept_without_asking(broken, operator, supervisor, name):
    headers = asked(name, operator, supervisor).headers

    kept = headers["Cache-Control"]
    if name == "static":
        assert kept == "public, max-age=31536000, immutable"  # RFC 8246
    elif name in ("alive", "ready"):
        assert kept == "no-store"
    else:
        assert "max-age" not in kept
        assert name == "no such file" or "public" not in kept


@pytest.mark.parametrize("name", ASKED)
def test_no_answer_clears_what_waits_on_a_phone(broken, operator, supervisor, name):
    assert "Clear-Site-Data" not in asked(name, operator, supervisor).headers


@pytest.mark.parametrize("path", ["/broken", "/api/v1/broken"])
def test_an_error_shows_a_number_and_no_insides(broken, client, caplog, path):
    answer = client.get(path)

    [number] = re.findall(r"[0-9a-f-]{36}", answer.text)[:1]
    assert number in caplog.text, "the number finds the log line"
    assert "pin_hash" in caplog.text
    for inside in ("pin_hash", "/srv", "Traceback", "RuntimeError", "Werkzeug", "Python", ".py"):
        assert inside not in answer.text


@pytest.mark.parametrize("name", [name for name in ASKED if ASKED[name][2] >= 400])
def test_no_error_names_what_it_is_made_of(broken, operator, supervisor, name):
    text = asked(name, operator, supervisor).text

    for inside in ("Traceback", "sqlalchemy", "Werkzeug", "Flask", "Python", "site-packages"):
        assert inside not in text


# --- over HTTPS ---


@pytest.fixture
def secure(engine, tmp_path, clock, monkeypatch):
    """A browser on a site that people reach over HTTPS, its phone enrolled."""
    monkeypatch.setattr("walkaround.store.keys.read_or_make", lambda _folder: some_keys())
    config = Config(data=tmp_path, checklists=make.LISTS, base_url="https://walkaround.example")
    client = Client(create_app(config, engine))
    with make_session(engine, make.SITE) as db:
        _, secret = enrol_phone(db, add_phone(db, None, make.DAWN), make.DAWN)
    client.set_cookie("__Host-walkaround-phone", secret, secure=True, domain="walkaround.example")
    return client


ADDRESS = {"base_url": "https://walkaround.example"}
REFERER = {"Referer": "https://walkaround.example/sign-in"}


def signing_in(client, **headers):
    form = client.get("/sign-in", **ADDRESS)
    token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', form.text)[1]
    data = {"crew_number": "101", "pin": "4821", "csrf_token": token}
    return form, client.post("/sign-in", data=data, headers=headers, **ADDRESS)


def test_over_https_every_cookie_is_bound_to_the_host_and_out_of_reach(secure):
    # RFC 6265bis, 4.1.3.2: __Host- needs Secure, Path=/ and no Domain; ASVS 3.3.1 to 3.3.4
    form, signed = signing_in(secure, **REFERER)

    found = form.headers.getlist("Set-Cookie") + signed.headers.getlist("Set-Cookie")
    names = {cookie.partition("=")[0] for cookie in found}
    assert names == {"__Host-walkaround-form", "__Host-walkaround-session"}
    for cookie in found:
        attributes = {part.strip().lower() for part in cookie.split(";")[1:]}
        assert {"secure", "httponly", "path=/", "samesite=lax"} <= attributes, cookie
        assert not [one for one in attributes if one.startswith("domain")]


def test_enrolling_over_https_binds_the_phone_in_the_same_way(secure, engine):
    with make_session(engine, make.SITE) as db:
        code = add_phone(db, None, make.at(30))

    [cookie] = secure.get(f"/enrol/{code}", **ADDRESS).headers.getlist("Set-Cookie")

    assert cookie.startswith("__Host-walkaround-phone=")
    for attribute in ("Secure", "HttpOnly", "Path=/", "SameSite=Lax"):
        assert f"; {attribute}" in cookie


def test_over_https_a_form_is_taken_with_a_referer_and_not_without(secure):
    # so that the policy must be same-origin and not no-referrer
    assert signing_in(secure)[1].status_code == 400
    assert signing_in(secure, **REFERER)[1].status_code == 303


def test_only_over_https_is_https_asked_for_from_then_on(secure, client):
    there = secure.get("/sign-in", **ADDRESS).headers

    assert there["Strict-Transport-Security"] == "max-age=31536000"
    assert "Strict-Transport-Security" not in client.get("/sign-in").headers


def test_over_plain_http_cookies_are_still_out_of_reach(enrolled):
    phone = enrolled()

    answer = phone.submit("/sign-in", crew_number="101", pin="4821")

    for cookie in answer.headers.getlist("Set-Cookie"):
        assert "; HttpOnly" in cookie
        assert "; SameSite=Lax" in cookie
        assert "__Host-" not in cookie
        assert "Secure" not in cookie
