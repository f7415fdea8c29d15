"""POST /api/v1/entries, line by line of the contract."""

import hashlib
import uuid

import pytest
import rfc8785

from tests import make
from tests.web.entered import clean, codes, last, state
from walkaround.rules import instant
from walkaround.store import settings

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
