"""POST /api/v1/entries, line by line of the contract."""

import hashlib
import io
import sqlite3
import uuid
from contextlib import closing

import pytest
import rfc8785

from tests import make
from tests.seal import seal
from walkaround.actions.person_leaves import person_leaves
from walkaround.rules import instant

HARMLESS = {
    "clear": {"defects": []},
    "defer": {"defects": [], "restrictions": "x"},
    "release": {"hold": "7"},
    "return": {"lay_up": 7},
    "settle": {"about": None},
    "lay_up": {"reason": ""},
    "meter_change": {"old": "many"},
    "service": {"interval": "often"},
    "correction": {},
    "confirm": {},
    "hours": {"value": -1},
    "fill": {"fluid": "lemonade"},
}

BATCH = f'{{"sent_at": "{instant.text(make.at(30))}", "entries": [%s]}}'


def signed(program, entry, pin, *, number="101", sealed_for=None):
    """Return the entry with a signer and the seal that their PIN makes."""
    jwk = program.read("/me")["seal_key"]
    sealed_pin = seal(jwk, pin, sealed_for or entry["id"])
    return {**entry, "signer": {"crew_number": number, "sealed_pin": sealed_pin}}


def state(program, unit="L07"):
    return program.read(f"/units/{unit}")["verdict"]["state"]


def codes(program, unit="L07"):
    return [reason["code"] for reason in program.read(f"/units/{unit}")["verdict"]["reasons"]]


def last(program, unit="L07"):
    return program.read(f"/units/{unit}/logbook")["entries"][-1]


def clean(**more):
    return make.entry("walkaround", make.walkaround(), **more)


def test_results_come_in_the_order_sent_and_one_bad_entry_stops_no_other(of_operator):
    entries = [clean(), None, {}, make.entry("hold", {"reason": "x"}), clean(unit="X99"), clean()]

    results = of_operator.enter(*entries, entries[0])

    assert [one["result"] for one in results] == [
        "accepted", "refused", "refused", "refused", "refused", "accepted", "known",
    ]  # fmt: skip
    assert [one["id"] for one in results] == [
        (entry or {}).get("id") for entry in [*entries, entries[0]]
    ]
    assert ["why" in one for one in results] == [False, True, True, True, True, False, False]


def test_a_clean_walk_answers_with_the_verdict(of_operator):
    verdict = of_operator.enter(clean())[0]["verdict"]

    assert verdict == {
        "state": "ok_to_run",
        "may_run": True,
        "valid_until": "2026-11-25T13:00:00Z",
        "reasons": [],
    }


def test_the_verdict_of_a_result_is_that_of_its_own_unit(of_operator):
    results = of_operator.enter(clean(), make.entry("defect", {"what": "Oil"}, unit="D02"))

    assert [one["verdict"]["state"] for one in results] == ["ok_to_run", "tagged_out"]
    assert "verdict" not in of_operator.enter(clean(unit="X99"))[0]


@pytest.mark.parametrize("failing", [["tyre"], ["tyre", "horn"], ["seat", "pressure"]])
def test_defects_are_named_after_the_walk_and_their_item(of_operator, failing):
    # RFC 9562, 5.5: UUIDv5; design: the namespace is the walk's id, the name the item's
    bad = {"tyre": "defect", "horn": "defect", "seat": "defect", "pressure": 120.0}
    entry = make.entry("walkaround", make.walkaround(**{name: bad[name] for name in failing}))

    result = of_operator.enter(entry)[0]

    assert sorted(result["defects"]) == sorted(
        str(uuid.uuid5(uuid.UUID(entry["id"]), name)) for name in failing
    )
    assert result["verdict"]["state"] == "tagged_out"


def test_a_reported_defect_has_the_id_of_its_entry(of_operator):
    entry = make.entry("defect", {"what": "Hose weeping"})

    assert of_operator.enter(entry)[0]["defects"] == [entry["id"]]


def test_a_blend_above_the_limit_is_a_defect_named_after_the_fill(of_operator, db):
    from walkaround.store import settings

    settings.put(db, "biodiesel_limit", "7", make.DAWN, about="L07")
    db.commit()
    body = {"fluid": "diesel", "litres": 200, "biodiesel_percent": 20}
    entry = make.entry("fill", body)

    found = of_operator.enter(entry)[0]["defects"]

    assert found == [str(uuid.uuid5(uuid.UUID(entry["id"]), "biodiesel"))]


def test_the_same_again_is_known_and_writes_nothing(of_operator):
    entry = make.entry("walkaround", make.walkaround(tyre="defect"))
    first = of_operator.enter(entry)[0]
    before = of_operator.read("/units/L07")

    again = of_operator.enter(entry)[0]

    assert (again["result"], again["defects"]) == ("known", first["defects"])
    assert of_operator.read("/units/L07") == before


def test_a_null_member_is_an_absent_one(of_operator):
    plain, entry = clean(), {}
    entry = {**plain, "device": None, "n": None, "seen": None, "signer": None}
    entry["body"] = {**plain["body"], "for_shift": None, "hours": None}

    assert of_operator.enter(entry)[0]["result"] == "accepted"
    assert state(of_operator) == "ok_to_run"


def test_what_a_phone_says_about_itself_stands_in_the_logbook(of_operator):
    said = {"device": "phone-7", "n": 12, "seen": {"seq": 0, "hash": "0" * 64}}

    of_operator.enter({**clean(), **said})

    entry = last(of_operator)
    assert {name: entry[name] for name in said} == said
    assert "signer" not in entry


def test_members_that_only_the_server_writes_are_not_taken_from_outside(of_operator):
    forged = {"by": "301", "roles": ["supervisor"], "seq": 99, "signature": "confirmed",
              "received_at": "2020-01-01T00:00:00Z", "site": "Elsewhere", "verdict": "ok_to_run",
              "prev": "f" * 64, "hash": "f" * 64, "skew_ms": 7}  # fmt: skip

    of_operator.enter({**clean(), **forged})

    entry = last(of_operator)
    assert not [name for name, value in forged.items() if entry.get(name) == value
                and name != "signature"]  # fmt: skip
    assert (entry["by"], entry["roles"], entry["seq"]) == ("101", ["operator"], 1)


# --- the batch ---


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


# --- JSON that is more than JSON (RFC 7493, I-JSON; RFC 8259, 4: names should be unique) ---

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


# --- who signs ---


def test_who_signs_with_a_sealed_pin_is_the_maker(of_mechanic):
    result = of_mechanic.enter(signed(of_mechanic, clean(), "4821"))[0]

    assert "why" not in result
    assert (last(of_mechanic)["by"], last(of_mechanic)["signature"]) == ("101", "confirmed")
    assert state(of_mechanic) == "ok_to_run"


@pytest.mark.parametrize(
    ("number", "pin", "sealed_for"),
    [
        ("101", "9999", None),
        ("101", "4821", str(uuid.uuid4())),
        ("999", "4821", None),
    ],
    ids=["wrong PIN", "seal of another entry", "unknown crew number"],
)
def test_whoever_does_not_prove_it_signs_nothing(of_mechanic, number, pin, sealed_for):
    entry = signed(of_mechanic, clean(), pin, number=number, sealed_for=sealed_for)

    result = of_mechanic.enter(entry)[0]

    assert (result["result"], last(of_mechanic)["signature"]) == ("accepted", "unconfirmed")
    assert result["why"]
    assert last(of_mechanic)["by"] == number
    assert codes(of_mechanic) == ["unconfirmed"]


@pytest.mark.parametrize(
    "signer", [{}, {"crew_number": "101"}, {"crew_number": 101}, "101", {"crew_number": "a/b"},
               {"crew_number": "101", "sealed_pin": 7}, {"crew_number": "101", "sealed_pin": "x"},
               {"crew_number": "101", "sealed_pin": "A" * 512}],
)  # fmt: skip
def test_half_a_signer_signs_nothing(of_mechanic, signer):
    of_mechanic.enter({**clean(), "signer": signer})

    assert last(of_mechanic)["signature"] == "unconfirmed"
    assert codes(of_mechanic) == ["unconfirmed"]


def test_who_has_left_signs_nothing_that_they_made_afterwards(of_mechanic, db):
    person_leaves(db, "101", make.at(5))

    of_mechanic.enter(signed(of_mechanic, clean(), "4821"))

    assert last(of_mechanic)["signature"] == "unconfirmed"
    assert codes(of_mechanic) == ["unconfirmed"]


def test_an_unconfirmed_failure_counts(of_mechanic):
    walk = make.entry("walkaround", make.walkaround(seat="defect"))

    of_mechanic.enter(signed(of_mechanic, walk, "9999"))

    assert codes(of_mechanic) == ["defect", "unconfirmed"]


def test_an_unconfirmed_clear_ends_nothing(of_operator, of_mechanic):
    found = of_operator.enter_one("defect", {"what": "Hose weeping"})["defects"]
    clear = {"defects": found, "outcome": "repaired", "work": "New hose"}

    of_operator.enter(signed(of_operator, make.entry("clear", clear), "0000", number="201"))

    assert codes(of_operator) == ["defect", "not_walked"]


def test_a_later_signed_copy_confirms_an_unsigned_one(of_mechanic):
    entry = clean()
    of_mechanic.enter(signed(of_mechanic, entry, "9999"))

    result = of_mechanic.enter(signed(of_mechanic, entry, "4821"))[0]

    confirm = last(of_mechanic)
    assert (result["result"], result["verdict"]["state"]) == ("known", "ok_to_run")
    assert (confirm["kind"], confirm["body"]) == ("confirm", {"entry": entry["id"]})
    assert (confirm["by"], confirm["signature"]) == ("101", "confirmed")


def test_a_copy_that_somebody_else_signs_confirms_nothing(of_mechanic):
    entry = clean()
    of_mechanic.enter(signed(of_mechanic, entry, "9999"))

    result = of_mechanic.enter(entry)[0]

    assert result["result"] == "known"
    assert codes(of_mechanic) == ["unconfirmed"]


def test_the_seal_is_kept_nowhere(of_mechanic, db):
    entry = signed(of_mechanic, clean(), "4821")
    refused = signed(of_mechanic, clean(unit="X99"), "4821")

    of_mechanic.enter(entry, refused)

    connection = db.connection().connection.driver_connection
    dump = "\n".join(connection.iterdump())
    for one in (entry, refused):
        assert one["id"] in dump
        assert one["signer"]["sealed_pin"] not in dump


# --- doubts, refusals, roles ---


def test_the_same_id_with_other_content_is_refused_and_a_doubt_named_after_both(of_operator):
    # RFC 9562, 5.5; RFC 8785 by the library rfc8785, apart from the program
    entry = clean()
    other = {**entry, "body": make.walkaround(hours=90)}
    content = {name: other[name] for name in ("kind", "unit", "made_at", "body")}
    digest = hashlib.sha256(rfc8785.dumps(content)).hexdigest()
    of_operator.enter(entry)

    result = of_operator.enter(other)[0]

    doubt = last(of_operator)
    assert result["result"] == "refused"
    assert doubt["id"] == str(uuid.uuid5(uuid.UUID(entry["id"]), f"L07:{digest}"))
    assert doubt["body"] == {"about": entry["id"], "why": doubt["body"]["why"], "content": content}
    assert codes(of_operator) == ["unconfirmed", "doubt"]


@pytest.mark.parametrize("kind", ["walkaround", "defect", "hold", "doubt", "label", "wish"])
def test_what_cannot_be_read_and_may_hide_a_failure_is_a_doubt(of_supervisor, kind):
    result = of_supervisor.enter_one(kind, {"what": 7})

    assert (result["result"], last(of_supervisor)["kind"]) == ("refused", "doubt")
    assert codes(of_supervisor) == ["not_walked", "doubt"]


@pytest.mark.parametrize("kind", HARMLESS)
def test_what_cannot_be_read_and_hides_no_failure_is_only_refused(program, kind):
    of_kind = program("201" if kind in ("clear", "defer", "service") else "301")

    result = of_kind.enter_one(kind, HARMLESS[kind])

    assert (result["result"], codes(of_kind)) == ("refused", ["not_walked"])
    assert of_kind.read("/units/L07")["seq"] == 0


def test_an_entry_without_a_uuid_is_a_doubt_about_its_content(of_operator):
    entry = {**clean(), "id": "walk-7"}
    content = {name: entry[name] for name in ("kind", "unit", "made_at", "body")}
    digest = hashlib.sha256(rfc8785.dumps(content)).hexdigest()

    result = of_operator.enter(entry)[0]

    about = str(uuid.uuid5(uuid.UUID(int=0), digest))
    assert (result["id"], result["result"]) == ("walk-7", "refused")
    assert last(of_operator)["body"]["about"] == about


def test_an_unknown_unit_is_refused_and_its_id_stays_free(of_operator):
    entry = clean(unit="X99")

    refused, accepted = of_operator.enter(entry, {**entry, "unit": "L07"})

    assert (refused["result"], accepted["result"]) == ("refused", "accepted")
    assert "X99" in refused["why"]


@pytest.mark.parametrize(
    ("kind", "by"),
    [("clear", "101"), ("clear", "301"), ("defer", "301"), ("hold", "201"), ("lay_up", "101"),
     ("settle", "201"), ("meter_change", "201"), ("service", "101")],
)  # fmt: skip
def test_what_is_for_other_roles_is_refused_with_words(program, kind, by):
    id, until = str(uuid.uuid4()), instant.text(make.at(60))
    bodies = {
        "clear": {"defects": [id], "outcome": "repaired", "work": "x"},
        "defer": {"defects": [id], "restrictions": "x", "until": until},
        "meter_change": {"old": 90, "new": 0, "note": "x"},
        "service": {"interval": "500 h", "hours": 90, "work": "x"},
        "settle": {"about": id, "note": "x"},
    }

    result = program(by).enter_one(kind, bodies.get(kind, {"reason": "x"}))

    assert result["result"] == "refused"
    assert "other roles" in result["why"]


def test_a_deferral_that_names_a_critical_defect_is_taken_and_says_that_it_counts_for_nothing(
    of_operator, of_mechanic
):
    found = of_operator.enter_one("walkaround", make.walkaround(tyre="defect"))["defects"]
    until = instant.text(make.at(600))

    result = of_mechanic.enter_one(
        "defer", {"defects": found, "restrictions": "Slow", "until": until}
    )

    assert result["result"] == "accepted"
    assert "critical" in result["why"]
    assert codes(of_mechanic) == ["defect"]


# --- clocks ---


@pytest.mark.parametrize(
    ("wrong_by", "skew_ms", "made_by"),
    [
        (119, 119_000, 0),
        (120, 120_000, 120),
        (3 * 3600, 10_800_000, 10_800),
        (-180, -180_000, -180),
    ],
)
def test_a_phone_whose_clock_is_wrong_is_corrected_from_two_minutes_on(
    of_operator, wrong_by, skew_ms, made_by
):
    sent = make.at(30) - wrong_by * 1000
    entry = make.entry("defect", {"what": "Hose weeping"})
    entry["made_at"] = instant.text(make.at(20) - wrong_by * 1000)

    of_operator.call("POST", "/entries", json={"sent_at": instant.text(sent), "entries": [entry]})

    [line] = of_operator.read("/units/L07")["open_defects"]
    corrected = instant.parse(entry["made_at"]) + made_by * 1000
    assert last(of_operator)["skew_ms"] == skew_ms
    assert last(of_operator)["made_at"] == entry["made_at"]
    assert line["since"] == instant.text(corrected)


@pytest.mark.parametrize(
    ("minutes", "body"),
    [
        (36, {}),
        (10, {"started_at": instant.text(make.at(12))}),
    ],
    ids=["made more than five minutes in the future", "finished before started"],
)
def test_a_walk_with_clock_nonsense_covers_nothing(of_operator, minutes, body):
    walk = {**make.walkaround(), **body}

    result = of_operator.enter_one("walkaround", walk, minutes=minutes)

    assert (result["result"], last(of_operator)["signature"]) == ("accepted", "unconfirmed")
    assert codes(of_operator) == ["unconfirmed"]


def test_what_was_made_before_its_phone_was_enrolled_covers_nothing(of_operator, enrolled, db):
    from walkaround.store.models import PhoneRow

    enrolled()
    phone = db.query(PhoneRow).one()
    phone.enrolled_at = make.at(20)
    db.commit()

    of_operator.enter({**clean(), "device": phone.id})

    assert codes(of_operator) == ["unconfirmed"]


@pytest.mark.parametrize("kind", ["walkaround", "defect", "hold"])
@pytest.mark.parametrize("made", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"])
@pytest.mark.parametrize("sent", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"])
def test_no_clock_is_so_wrong_that_the_units_can_no_longer_be_seen(of_supervisor, kind, made, sent):
    bodies = {"defect": {"what": "Oil"}, "hold": {"reason": "Brakes"}}
    walk = {**make.walkaround(tyre="defect"), "started_at": made, "finished_at": made}
    entry = {**make.entry(kind, bodies.get(kind, {**walk, "for_shift": made})), "made_at": made}

    batch = {"sent_at": sent, "entries": [entry]}
    assert of_supervisor.call("POST", "/entries", json=batch).status_code == 200

    assert of_supervisor.read("/units")["units"][1]["verdict"]["state"] == "tagged_out"
    assert of_supervisor.read("/units/L07", at="2027-01-01T00:00:00Z")["number"] == "L07"


# --- cookie and token ---


def batch_of(entry):
    return {"sent_at": instant.text(make.at(30)), "entries": [entry]}


def test_a_session_needs_the_csrf_header(operator):
    with_header = operator.api("POST", "/entries", json=batch_of(clean()))
    without = operator.post("/api/v1/entries", json=batch_of(clean()))

    assert with_header.status_code == 200
    assert (without.status_code, without.content_type) == (400, "application/problem+json")
    assert without.json["type"] == "csrf"


def test_the_token_that_me_tells_is_good_for_the_header(operator):
    token = operator.get("/api/v1/me").json["csrf"]

    answer = operator.post(
        "/api/v1/entries", json=batch_of(clean()), headers={"X-CSRF-Token": token}
    )

    assert answer.status_code == 200


def test_a_program_with_a_token_needs_no_header_and_signs_as_its_person(of_operator):
    of_operator.enter(clean())

    assert (last(of_operator)["by"], last(of_operator)["signature"]) == ("101", "confirmed")


def test_a_token_beside_a_session_does_not_open_what_the_session_does_not(operator, of_supervisor):
    bearer = {"Authorization": f"Bearer {of_supervisor.token}"}

    answer = operator.post("/api/v1/entries", json=batch_of(clean()), headers=bearer)

    assert (answer.status_code, answer.json["type"]) == (400, "csrf")
    assert operator.get("/api/v1/refused", headers=bearer).status_code == 403


@pytest.mark.parametrize("headers", [{}, {"Authorization": "Bearer no-token"},
                                     {"Authorization": "Basic MTAxOjQ4MjE="}])  # fmt: skip
def test_who_is_not_signed_in_enters_nothing(client, headers):
    answer = client.post("/api/v1/entries", json=batch_of(clean()), headers=headers)

    assert (answer.status_code, answer.content_type) == (401, "application/problem+json")
    assert "Location" not in answer.headers


# --- nobody holds the database up ---


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
