"""POST /api/v1/entries: what a batch must be, and JSON that is more than JSON."""

import io
import sqlite3
import uuid
from contextlib import closing

import pytest

from tests import make
from tests.web.entered import codes
from walkaround.rules import instant

BATCH = f'{{"sent_at": "{instant.text(make.at(30))}", "entries": [%s]}}'


def test_200_entries_are_taken_and_201_are_too_many(of_operator):
    def answer(count):
        batch = {"sent_at": instant.text(make.at(30)), "entries": [None] * count}
        return of_operator.call("POST", "/entries", json=batch)

    assert (answer(200).status_code, answer(201).status_code) == (200, 413)


@pytest.mark.parametrize(
    "batch",
    [
        "",
        "{",
        "[]",
        "null",
        '"words"',
        '{"entries": []}',
        '{"sent_at": null, "entries": []}',
        '{"sent_at": "yesterday", "entries": []}',
        '{"sent_at": 7, "entries": []}',
        '{"sent_at": "2026-11-25T05:30:00", "entries": []}',
        '{"sent_at": "2026-11-25T05:30:00Z"}',
        '{"sent_at": "2026-11-25T05:30:00Z", "entries": {}}',
        "[" * 100_000,
        '{"sent_at": "2026-11-25T05:30:00Z", "entries": [' + "[" * 200 + "]" * 200 + "]}",
        b"\xff\xfe\x00",
        '{"sent_at": "2026-11-25T05:30:00Z", "entries": []}'.encode("utf-16"),
    ],
)
def test_what_is_no_batch_is_a_problem_that_says_so(of_operator, batch):
    answer = of_operator.call("POST", "/entries", data=batch, content_type="application/json")

    assert answer.status_code == 422
    assert answer.content_type == "application/problem+json"
    assert answer.json["detail"]


def test_a_batch_must_say_that_it_is_json(of_operator):
    batch = '{"sent_at": "2026-11-25T05:30:00Z", "entries": []}'

    answer = of_operator.call("POST", "/entries", data=batch, content_type="text/plain")

    assert answer.status_code == 422


@pytest.mark.parametrize("chunked", [False, True])
def test_a_batch_of_5_mb_is_too_large_whether_it_says_so_or_not(of_operator, chunked):
    batch = b'{"sent_at": "' + b" " * 5 * 1024**2 + b'"}'
    options = {"content_length": None} if chunked else {}
    terminated = {"wsgi.input_terminated": True} if chunked else {}

    answer = of_operator.call("POST", "/entries", data=batch, content_type="application/json",
                              environ_overrides=terminated, **options)  # fmt: skip

    assert answer.status_code == 413


# I-JSON (RFC 7493); names should be unique (RFC 8259, 4)
STRANGE = {
    "not a number": '{"reason": "x", "more": NaN}',
    "infinity": '{"reason": "x", "more": -Infinity}',
    "beyond any double": '{"reason": "x", "more": 1e999}',
    "beyond 2^53": '{"reason": "x", "more": 9007199254740993}',
    "half a letter": '{"reason": "\\ud800"}',
    "half a letter as a name": '{"reason": "x", "\\udfff": 1}',
    "the same name twice": '{"reason": "x", "reason": "y"}',
    "very deep": '{"reason": "x", "more": ' + "[" * 40 + "]" * 40 + "}",
}


@pytest.mark.parametrize("body", STRANGE.values(), ids=STRANGE)
def test_strange_json_is_refused_alone_and_in_doubt(of_supervisor, body):
    hold = '{"id": "%s", "kind": "hold", "unit": "L07", "made_at": "%s", "body": %s}'
    entries = [hold % (uuid.uuid4(), instant.text(make.at(5)), one) for one in
               (body, '{"reason": "Brakes"}')]  # fmt: skip
    batch = BATCH % ", ".join(entries)

    answer = of_supervisor.call("POST", "/entries", data=batch, content_type="application/json")

    assert [one["result"] for one in answer.json["results"]] == ["refused", "accepted"]
    assert codes(of_supervisor)[-1] == "doubt"
    assert of_supervisor.read("/refused")["refused"]


@pytest.mark.parametrize(
    "twice", ['"defect", "answer": "in_order"', '"in_order", "answer": "defect"']
)
def test_no_defect_hides_behind_a_name_that_stands_twice(of_operator, twice):
    text = str(make.walkaround(tyre="HERE")).replace("'HERE'", twice).replace("'", '"')
    entry = '{"id": "%s", "kind": "walkaround", "unit": "L07", "made_at": "%s", "body": %s}'
    entry %= (uuid.uuid4(), instant.text(make.at(10)), text)
    batch = BATCH % entry

    answer = of_operator.call("POST", "/entries", data=batch, content_type="application/json")

    assert answer.json["results"][0]["result"] == "refused"
    assert codes(of_operator) == ["not_walked", "doubt"]


@pytest.mark.parametrize("member", ["id", "unit", "kind", "made_at", "device", "signer", "body"])
@pytest.mark.parametrize("value", ["\ud800", "\0", 7, [], {"a": [1]}, True, "x" * 100_000])
def test_no_member_breaks_the_door(of_supervisor, member, value):
    entry = {**make.entry("hold", {"reason": "x"}), member: value}

    assert of_supervisor.enter(entry)[0]["result"] in ("accepted", "refused")
    assert of_supervisor.read("/refused").keys() == {"refused"}
    assert of_supervisor.read("/units").keys() == {"units", "revision"}


class SlowBody(io.RawIOBase):
    """A body that, while it comes in, sees whether somebody else can write."""

    def __init__(self, path: str) -> None:
        self.path, self.free = path, False

    def readable(self) -> bool:
        return True

    def readinto(self, buffer) -> int:
        with closing(sqlite3.connect(self.path, timeout=0)) as other:
            other.execute("begin immediate")  # it raises if it would have to wait
            self.free = True
        return 0


@pytest.mark.parametrize("way", ["token", "session", "form"])
def test_a_slow_line_does_not_keep_others_from_writing(operator, of_operator, engine, way):
    slow = SlowBody(engine.url.database)
    kind = "application/x-www-form-urlencoded" if way == "form" else "application/json"
    options = {
        "environ_overrides": {"wsgi.input": slow, "CONTENT_LENGTH": "9"},
        "content_type": kind,
    }

    if way == "token":
        of_operator.call("POST", "/entries", **options)
    else:
        headers = {"X-CSRF-Token": operator.token()}
        path = "/sign-in" if way == "form" else "/api/v1/entries"
        operator.post(path, headers=headers, **options)

    assert slow.free
