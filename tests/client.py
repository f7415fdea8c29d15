"""A test client that inspects: every page that a test opens is held to the house's rules."""

from typing import Any

from bs4 import BeautifulSoup, Tag
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests import make


class Client(FlaskClient):
    """Opens and posts pages; JSON goes through `api`."""

    def __init__(self, app: Flask) -> None:
        super().__init__(app, app.response_class, use_cookies=True)

    def sign_in(self, name: str) -> "Client":
        """Sign in as one of the crew."""
        number, _, pin = make.CREW[name]
        answer = self.submit("/sign-in", crew_number=number, pin=pin)
        assert answer.status_code == 303, answer.text
        return self

    def page(self, path: str, status: int = 200, **query: str) -> BeautifulSoup:
        """Return a page, parsed, after a look at what every page owes its reader."""
        answer = self.get(path, query_string=query)
        assert answer.status_code == status, f"{path}: {answer.status_code}\n{answer.text[:2000]}"
        return inspected(answer)

    def submit(self, path: str, *, form: int = 0, **fields: Any) -> TestResponse:
        """Post to a page with the token that its form carries."""
        return self.post(path, data={**fields, "csrf_token": self.token()}, buffered=True)

    def refused(self, path: str, status: int = 422, **fields: Any) -> BeautifulSoup:
        """Post what cannot be used and return the page that says so."""
        answer = self.submit(path, **fields)
        assert answer.status_code == status, f"{path}: {answer.status_code}\n{answer.text[:2000]}"
        return inspected(answer)

    def token(self) -> str:
        """Return the token that forms of this browser carry."""
        found = BeautifulSoup(self.get("/sign-in").text, "html.parser").find(
            "input", attrs={"name": "csrf_token"}
        )
        assert isinstance(found, Tag), "the sign-in page has no token"
        return str(found["value"])

    def api(self, method: str, path: str, **options: Any) -> TestResponse:
        """Call the JSON API as a page's script would."""
        headers = {"X-CSRF-Token": self.token(), **options.pop("headers", {})}
        return self.open(f"/api/v1{path}", method=method, headers=headers, **options)


def inspected(answer: TestResponse) -> BeautifulSoup:
    """Return a page, parsed: one h1, a title that begins with it, labels, nothing inline."""
    soup = BeautifulSoup(answer.text, "html.parser")
    headings = soup.find_all("h1")
    assert len(headings) == 1, f"{len(headings)} h1"
    heading = " ".join(headings[0].get_text(" ").split())
    title = " ".join(soup.title.get_text().split()) if soup.title else ""
    assert title.startswith(heading), f"the title {title!r} does not begin with {heading!r}"
    _check_forms(soup)
    for node in soup.find_all(True):
        inline = [name for name in node.attrs if name == "style" or name.startswith("on")]
        assert not inline, f"inline {inline} on {node.name}"
    assert not [
        s
        for s in soup.find_all("script")
        if not s.get("src") and s.get("type") != "application/json"
    ]
    return soup


def _check_forms(soup: BeautifulSoup) -> None:
    for form in soup.find_all("form"):
        posts = str(form.get("method", "get")).lower() == "post"
        assert not posts or form.find("input", attrs={"name": "csrf_token"}), (
            "a form without a token"
        )
    for field in soup.find_all(["input", "select", "textarea"]):
        if field.get("type") in ("hidden", "submit"):
            continue
        known = field.get("id") and soup.find("label", attrs={"for": field["id"]})
        assert known or field.find_parent("label") or field.get("aria-label"), f"no label: {field}"
