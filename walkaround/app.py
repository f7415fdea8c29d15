"""The one place where the parts meet."""

import os
from collections.abc import Callable
from dataclasses import dataclass

from flask import Flask, Response, g, render_template, request
from flask_compress import Compress
from flask_wtf.csrf import CSRFError, CSRFProtect
from sqlalchemy import Engine
from sqlalchemy.orm import Session
from werkzeug.middleware.proxy_fix import ProxyFix

from walkaround import clock, config, places
from walkaround.store import db as database
from walkaround.store import keys, releases, schema, settings, site
from walkaround.web import (
    assets,
    bounds,
    errors,
    guards,
    headers,
    language,
    moments,
    reasons,
    release,
)
from walkaround.web.checklists import Watch

SAFE = {"GET", "HEAD", "OPTIONS"}
WRITES = {
    "sign_in.enrol"
}  # the one link that changes something: it enrols the browser that opens it


@dataclass(frozen=True)
class Ground:
    """What every request stands on."""

    config: config.Config
    engine: Engine
    keys: keys.Keys
    watch: Watch


def create_app(settings_read: config.Config | None = None, engine: Engine | None = None) -> Flask:
    """Return the program as a web application."""
    read = settings_read or config.read(os.environ)
    read.data.mkdir(parents=True, exist_ok=True)
    watch = Watch(read.checklists)
    engine = engine or _opened(read, watch)
    app = Flask("walkaround", template_folder=str(places.templates()), static_folder=None)
    ground = Ground(read, engine, keys.read_or_make(read.data), watch)
    app.extensions["walkaround"] = ground
    _configure(app, ground)
    for register in (assets, errors, headers, language, moments):
        register.register(app)
    app.jinja_env.globals.update(state_words=reasons.state, release=release.digest)
    _register_blueprints(app)
    app.before_request(_begin(app, ground))
    app.teardown_request(_end)
    return app


def _opened(read: config.Config, watch: Watch) -> Engine:
    engine = database.make_engine(read.database, journal=read.journal or None)
    schema.upgrade(engine)
    with database.make_session(engine, writes=False) as db:
        named = site.the_site(db)
    if named:  # the lists take two seconds to read: better now than while somebody waits
        watch.look(engine, named, clock.now())
    releases.keep(assets.ROOT, assets.digest(), read.data / "releases", clock.now())
    engine.dispose()  # nothing that is open now may be shared with a process that forks from here
    return engine


def _configure(app: Flask, ground: Ground) -> None:
    read = ground.config
    app.config.update(
        SECRET_KEY=ground.keys.secret_key,
        SESSION_COOKIE_NAME="__Host-walkaround-form" if read.https else "walkaround-form",
        SESSION_COOKIE_SECURE=read.https,
        SESSION_COOKIE_SAMESITE="Lax",
        HTTPS=read.https,
        RELEASES=read.data / "releases",
        BASE_URL=read.base_url,
        TRUSTED_HOSTS=read.hosts,
        MAX_CONTENT_LENGTH=16 * 1024 * 1024,
        WTF_CSRF_TIME_LIMIT=None,  # a form filled in over a morning is still good
        WTF_CSRF_CHECK_DEFAULT=False,  # _begin checks, so that a token of a program needs none
    )
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.extensions["walkaround-csrf"] = CSRFProtect(app)
    Compress(app)
    if read.proxies:
        app.wsgi_app = ProxyFix(  # type: ignore[method-assign]
            app.wsgi_app, x_for=read.proxies, x_proto=read.proxies, x_host=read.proxies
        )


def _register_blueprints(app: Flask) -> None:
    from walkaround.web import blueprints  # here, because views may ask for the app's settings

    for blueprint in blueprints.ALL:
        app.register_blueprint(blueprint)


def _begin(app: Flask, ground: Ground) -> Callable[[], Response | str | None]:
    """Return what runs before each request: session, site, who asks, and the token check."""

    def begin() -> Response | str | None:
        g.language, g.person, g.zone = language.choose("en"), None, "UTC"
        if request.endpoint in ("kept_file", "health.healthz", "health.readyz"):
            return None
        writes = request.method not in SAFE or request.endpoint in WRITES
        g.db = database.make_session(ground.engine, writes=writes)
        g.session_secret = request.cookies.get(guards.cookie("session"))
        if site.the_site(g.db) is None:
            return no_site()
        g.language = language.choose(site.language(g.db))
        g.zone = settings.value(g.db, "zone") or "UTC"
        g.demo = settings.value(g.db, "demo") is not None
        g.db.rollback()  # the look may write, and must not wait for what this request has open
        ground.watch.look(ground.engine, g.db.info["site"], clock.now())
        guards.who(g.db)
        g.language = language.choose(g.language, g.person)
        g.db.rollback()  # a form may come in slowly, and nobody else must wait for it
        if request.method not in SAFE and request.routing_exception is None:
            _check_source(app)
        return None

    return begin


def _check_source(app: Flask) -> None:
    """Let nothing change that another site may have made a browser send."""
    bounds.limit()
    if bounds.is_foreign():
        raise CSRFError
    # A program without our cookie borrows nobody's session, so there is nothing to forge.
    if g.session_secret or not errors.is_api():
        app.extensions["walkaround-csrf"].protect()


def no_site() -> Response:
    """Say that there is no site yet, to people and to programs."""
    if errors.is_api():
        return errors.answer(503, language.say("There is no site here yet: run walkaround init."))
    return Response(render_template("errors/no_site.html"), 503)


def _end(_error: BaseException | None) -> None:
    session: Session | None = g.pop("db", None)
    if session is not None:
        session.close()
