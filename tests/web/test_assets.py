import base64
import hashlib

import pytest
import tinycss2
from flask import Flask

from walkaround.web import assets


@pytest.fixture
def pages():
    app = Flask("pages", static_folder=str(assets.ROOT))
    assets.register(app)
    return app.test_client()


def test_an_address_with_the_digest_may_be_kept_for_ever(pages):
    reply = pages.get(assets.asset("js/start.js"), buffered=True)

    assert reply.status_code == 200
    assert reply.headers["Cache-Control"] == assets.FOR_EVER
    assert reply.data == (assets.ROOT / "js" / "start.js").read_bytes()


def test_a_module_brings_all_that_it_imports_and_each_once(tmp_path, monkeypatch):
    (tmp_path / "js" / "modules").mkdir(parents=True)
    (tmp_path / "js" / "db.js").write_text('import { b } from "./modules/b.js"\n')
    (tmp_path / "js" / "modules" / "a.js").write_text('import * as db from "../db.js"\n')
    (tmp_path / "js" / "modules" / "b.js").write_text('import { a } from "./a.js"\n')
    monkeypatch.setattr(assets, "ROOT", tmp_path)

    found = assets.modules.__wrapped__("a")

    folder = assets.asset("js/")
    assert [one.removeprefix(folder) for one in found] == ["modules/a.js", "db.js", "modules/b.js"]


def test_an_old_digest_is_not_answered_with_new_content(pages):
    reply = pages.get("/static/0123456789abcdef/js/start.js")

    assert reply.status_code == 404
    assert "immutable" not in reply.headers.get("Cache-Control", "")


def test_files_of_an_earlier_release_are_still_served(pages, tmp_path):
    pages.application.config["RELEASES"] = tmp_path
    folder = tmp_path / "0123456789abcdef" / "js"
    folder.mkdir(parents=True)
    (folder / "start.js").write_text("old()")

    there = pages.get("/static/0123456789abcdef/js/start.js", buffered=True)
    gone = pages.get("/static/0123456789abcdef/js/gone.js")

    assert (there.status_code, there.text) == (200, "old()")
    assert (gone.status_code, gone.mimetype) == (404, "text/plain")


def test_an_address_does_not_lead_out_of_the_folder(pages):
    assert pages.get(assets.asset("../pyproject.toml")).status_code == 404


def test_the_policy_names_the_style_by_its_hash():
    digest = hashlib.sha256(assets.style().encode()).digest()

    assert assets.style_source() == f"'sha256-{base64.b64encode(digest).decode()}'"


def test_tightening_loses_no_rule():
    sheets = [
        path for name in assets.SHEETS for path in sorted(assets.ROOT.glob(f"css/{name}.css"))
    ]
    loose = "".join(path.read_text() for path in sheets)

    assert spelled(assets.style()) == spelled(loose)


def test_the_whole_style_stays_small():
    # inline in every page: 60 KB compressed is all that a walk may weigh
    assert len(assets.style()) < 20_000


def test_a_machine_without_a_drawing_gets_the_general_one():
    assert assets.plan("road roller of 1931") == assets.plan("machine")
    assert assets.plan("wheel loader") != assets.plan("machine")


def test_a_machine_named_like_a_path_reads_no_other_file():
    assert assets.plan("../in_order") == assets.plan("machine")


def spelled(css):
    """Return the tokens of a sheet as an independent parser reads them, without white space."""
    rules = tinycss2.parse_stylesheet(css, skip_comments=True, skip_whitespace=True)
    found = []
    for rule in rules:
        layer = [rule.at_keyword, *tokens(rule.prelude)]
        if rule.content and found and found[-1][0] == layer:
            found[-1][1].extend(tokens(rule.content))  # two blocks of a layer in a row are one
        else:
            found.append((layer, list(tokens(rule.content or []))))
    return found


def tokens(nodes):
    for node in nodes:
        for part in ("prelude", "content", "arguments"):
            yield from tokens(getattr(node, part, None) or [])
        if node.type not in ("whitespace", "comment") and node != ";":
            yield node.type, getattr(node, "value", getattr(node, "name", ""))
