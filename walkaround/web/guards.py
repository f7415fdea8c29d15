"""Who is asking, and what they may."""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar, cast

from flask import current_app, g, request
from sqlalchemy.orm import Session
from werkzeug.exceptions import Forbidden, Unauthorized

from walkaround import clock
from walkaround.store import people, phones, sessions, tokens
from walkaround.store.models import PhoneRow
from walkaround.web import carrying

View = TypeVar("View", bound=Callable[..., Any])


def signed_in(view: View) -> View:
    """Let only somebody signed in see a page; others are asked to sign in first."""

    @wraps(view)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        if g.person is None:
            return carrying.to_sign_in()
        return view(*args, **kwargs)

    return cast(View, guarded)


def on_a_phone(view: View) -> View:
    """Let an enrolled phone see a page, whoever holds it; others are asked to sign in first."""

    @wraps(view)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        if g.phone is None and g.person is None:
            return carrying.to_sign_in()
        return view(*args, **kwargs)

    return cast(View, guarded)


def may(*roles: str) -> Callable[[View], View]:
    """Let only people with one of these roles see a page."""

    def guard(view: View) -> View:
        @wraps(view)
        @signed_in
        def guarded(*args: Any, **kwargs: Any) -> Any:
            if not set(roles) & set(g.person.roles):
                raise Forbidden
            return view(*args, **kwargs)

        return cast(View, guarded)

    return guard


def api(*roles: str) -> Callable[[View], View]:
    """Answer programs that are not signed in with 401, and those that may not with 403."""

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(*args: Any, **kwargs: Any) -> Any:
            if g.person is None:
                raise Unauthorized
            if roles and not set(roles) & set(g.person.roles):
                raise Forbidden
            return view(*args, **kwargs)

        return cast(View, guarded)

    return guard


def who(db: Session) -> None:
    """Find out who asks: by the token of a program, or by phone and session."""
    now = clock.now()
    g.person, g.phone, g.session, g.token = None, None, None, None
    g.phone = phone_of(db)
    bearer = request.headers.get("Authorization", "")
    if bearer.startswith("Bearer ") and g.session_secret is None:
        g.token = tokens.find(db, bearer.removeprefix("Bearer ").strip(), now)
        row = people.find(db, g.token.crew_number) if g.token else None
        if row is not None and people.is_active(row, now):
            g.person = people.person(db, row, now)
    elif g.session_secret and (found := sessions.find(db, g.session_secret, now)):
        g.session = found[0]
        g.person = people.person(db, found[1], now)


def phone_of(db: Session) -> PhoneRow | None:
    """Return the enrolled phone that asks."""
    secret = request.cookies.get(cookie("phone"))
    return phones.find(db, secret) if secret else None


def cookie(name: str) -> str:
    """Return a cookie's name; over HTTPS it is bound to this host."""
    return f"__Host-walkaround-{name}" if current_app.config["HTTPS"] else f"walkaround-{name}"
