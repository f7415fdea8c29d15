"""The service worker's script: where it is, what it lists, and the way out of it."""

import json
import re
from dataclasses import replace

from flask import Flask

from tests.client import Client
from walkaround.web import assets, offline


def listed(script: str, name: str) -> list[str]:
    """Return one of the lists that stand before the worker."""
    found = re.search(rf"^const {name} = (.+)$", script, re.MULTILINE)
    assert found
    return list(json.loads(found[1]))


def test_the_worker_is_at_one_address_for_ever_and_never_kept(client: Client):
    answer = client.get("/sw.js")

    assert answer.mimetype == "text/javascript"
    assert answer.headers["Cache-Control"] == "no-cache"
    assert "importScripts" not in answer.text


def test_every_file_and_page_that_it_lists_is_there_for_a_stranger(client: Client):
    script = client.get("/sw.js").text

    for address in listed(script, "FILES") + listed(script, "PAGES"):
        answer = client.get(address, buffered=True)
        assert (answer.status_code, answer.headers.get("Location")) == (200, None), address


def test_every_module_is_listed(client: Client):
    files = listed(client.get("/sw.js").text, "FILES")

    modules = {path.relative_to(assets.ROOT).as_posix() for path in assets.ROOT.rglob("*.js")}
    apart = {"js/sw.js", "js/sw-off.js"}
    assert {assets.asset(name) for name in modules - apart} <= set(files)


def test_kept_pages_belong_to_this_release(client: Client):
    script = client.get("/sw.js").text
    release = re.search(r'^const RELEASE = "(\w+)"$', script, re.MULTILINE)

    assert release
    for page in listed(script, "PAGES"):
        assert f'data-release="{release[1]}"' in client.get(page).text


def test_the_same_page_is_kept_whoever_asks(client: Client, operator: Client, supervisor: Client):
    for page in offline.PAGES:
        answers = {one.get(f"{page}?lang=en").text for one in (client, operator, supervisor)}

        assert len(answers) == 1, page


def test_a_setting_takes_the_worker_away_again(app: Flask, client: Client):
    ground = app.extensions["walkaround"]
    off = replace(ground.config, worker="off")
    app.extensions["walkaround"] = replace(ground, config=off)

    script = client.get("/sw.js").text

    app.extensions["walkaround"] = ground
    assert "unregister" in script
    assert "indexedDB" not in script
