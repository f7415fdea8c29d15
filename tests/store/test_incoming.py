"""An entry as it was sent: its content, its hash, its shape."""

import hashlib
import uuid

import pytest

from tests import make
from walkaround.store import incoming
from walkaround.store.bodies import Unreadable

SENT = make.entry("hold", {"reason": "audit"})


def test_content_is_four_members_as_sent_and_their_hash_is_over_the_canonical_text():
    """RFC 8785 by hand: members sorted, no spaces."""
    text = '{"body":{"reason":"audit"},"kind":"hold","made_at":"2026-11-25T05:10:00Z","unit":"L07"}'

    content = incoming.content_of({**SENT, "device": "p", "n": 3, "seen": None})

    assert content == {name: SENT[name] for name in ("kind", "unit", "made_at", "body")}
    assert incoming.hash_of(content) == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize("member", ["kind", "unit", "made_at", "body"])
def test_a_member_that_is_missing_is_null_in_the_content(member):
    sent = {name: value for name, value in SENT.items() if name != member}

    assert incoming.content_of(sent) == incoming.content_of({**SENT, member: None})


def test_what_has_no_canonical_text_is_kept_as_text():
    content = incoming.content_of({**SENT, "body": {"reason": float("nan")}})

    assert content.keys() == {"text"}
    assert "NaN" in content["text"]


def test_an_id_that_is_none_is_made_of_the_content():
    about = incoming.about({**SENT, "id": "x"})

    assert about == incoming.about({**SENT, "id": None})
    assert about == str(uuid.uuid5(uuid.UUID(int=0), incoming.hash_of(incoming.content_of(SENT))))
    assert incoming.about({**SENT, "id": SENT["id"].upper()}) == SENT["id"]


def test_the_example_of_rfc_9562_is_an_id():
    id = "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"  # appendix A.6, a UUIDv7

    assert incoming.read({**SENT, "id": id}).id == id.lower()


@pytest.mark.parametrize(
    "wrong",
    [
        {"id": None}, {"id": "7"}, {"made_at": None}, {"made_at": "2026-11-25"}, {"made_at": 5},
        {"body": None}, {"kind": None}, {"kind": ["hold"]}, {"device": 5}, {"n": "1"}, {"n": True},
        {"n": 1.5}, {"n": 2**63}, {"seen": "x"}, {"seen": {"hash": "\ud800"}}, {"device": "\0"},
    ],
)  # fmt: skip
def test_what_is_bent_is_unreadable(wrong):
    with pytest.raises(Unreadable):
        incoming.read({**SENT, **wrong})


def test_members_beside_the_content_are_read():
    seen = {"seq": 3, "hash": "0" * 64}

    made = incoming.read({**SENT, "device": "p1", "n": 7, "seen": seen})

    assert (made.device, made.n, made.seen) == ("p1", 7, seen)
    assert made.made_at == make.at(10)


HARMLESS = ["clear", "defer", "release", "return", "settle", "lay_up", "meter_change", "service"]
HARMLESS += ["correction", "confirm", "hours", "fill"]


@pytest.mark.parametrize("kind", HARMLESS)
def test_no_failure_can_hide_in_these(kind):
    assert not incoming.raises_doubt({"kind": kind})


@pytest.mark.parametrize(
    "kind", ["walkaround", "defect", "hold", "doubt", "label", "x", None, 7, ["clear"]]
)
def test_one_may_hide_in_everything_else(kind):
    assert incoming.raises_doubt({"kind": kind})
