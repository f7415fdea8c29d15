"""What programs read: /me, /people, /units, checklists, logbooks, /refused, line by line."""

import hashlib
from concurrent.futures import ThreadPoolExecutor
from operator import itemgetter

import pytest
import rfc8785

from tests import make
from tests.seal import decoded
from walkaround.actions.person_leaves import person_leaves
from walkaround.actions.revoke_token import revoke_token
from walkaround.rules import instant
from walkaround.store import settings
from walkaround.store.models import TokenRow


def reasons(program, **query):
    return program.read("/units/L07", **query)["verdict"]["reasons"]


# --- /me and /people ---


def test_me_tells_who_where_and_when(of_supervisor):
    said = of_supervisor.read("/me")

    key = said.pop("seal_key")
    assert said == {
        "name": "Sara Supervisor",
        "crew_number": "301",
        "roles": ["supervisor"],
        "site": "Gravel pit",
        "now": "2026-11-25T05:30:00Z",
        "shift": {"start": "2026-11-25T05:00:00Z", "end": "2026-11-25T13:00:00Z"},
    }
    assert (key["kty"], key["alg"]) == ("RSA", "RSA-OAEP-256")  # RFC 7518, 4.3 and 6.3.1
    assert int.from_bytes(decoded(key["n"]), "big").bit_length() == 3072
    assert not {"d", "p", "q"} & key.keys(), "RFC 7518, 6.3.2: these are the private ones"


def test_me_gives_a_session_its_csrf_token_and_a_program_none(operator, of_operator):
    assert operator.get("/api/v1/me").json["csrf"]
    assert "csrf" not in of_operator.read("/me")


def test_people_are_all_who_ever_were_here(of_operator, db):
    person_leaves(db, "201", make.at(5))

    people = of_operator.read("/people")["people"]

    assert sorted(people, key=itemgetter("crew_number")) == [
        {"crew_number": "101", "name": "Olga Operator", "roles": ["operator"], "active": True},
        {"crew_number": "201", "name": "Milan Mechanic", "roles": ["mechanic"], "active": False},
        {"crew_number": "301", "name": "Sara Supervisor", "roles": ["supervisor"], "active": True},
    ]


@pytest.mark.parametrize("end", ["revoked", "left", "run out"])
def test_a_token_that_no_longer_holds_opens_nothing(of_operator, db, clock, end):
    token = db.query(TokenRow).one()
    if end == "revoked":
        revoke_token(db, of_operator.token, make.at(30))
    elif end == "left":
        person_leaves(db, "101", make.at(29))
    else:
        token.expires_at = make.at(30)
        db.commit()

    assert of_operator.read("/me", 401)["status"] == 401


# --- units ---


def test_a_unit_is_told_to_the_last_member(of_operator):
    unit = of_operator.read("/units/L07")

    assert unit == {
        "number": "L07",
        "title": unit["title"],
        "machine": "wheel loader",
        "seq": 0,
        "hash": "0" * 64,
        "verdict": {
            "state": "not_checked",
            "may_run": False,
            "valid_until": None,
            "reasons": [{"code": "not_walked", "text": "Nobody has walked it this shift"}],
        },
        "walked": None,
        "last_walked": None,
        "hours": 84,
        "open_defects": [],
        "next_service": None,
    }
    assert of_operator.read("/units/L07/services") == {"services": []}


def test_a_walk_that_covers_now_is_told_and_later_it_is_the_last_one(of_operator, clock):
    entry = make.entry("walkaround", make.walkaround(more={"hours": 90.5}))
    of_operator.enter(entry)
    during = of_operator.read("/units/L07")
    clock.shift(8 * 3600)
    after = of_operator.read("/units/L07")

    walk = {
        "entry": entry["id"],
        "by": "101",
        "at": entry["made_at"],
        "for_shift": "2026-11-25T05:00:00Z",
    }
    assert (during["walked"], during["last_walked"]) == (walk, walk)
    assert (after["walked"], after["last_walked"]) == (None, walk)
    assert (during["hours"], during["verdict"]["may_run"]) == (90.5, True)


def test_an_open_defect_is_a_line_with_all_that_a_reader_needs(of_operator):
    entry = make.entry("walkaround", make.walkaround(tyre="defect"))
    defects = of_operator.enter(entry)[0]["defects"]

    unit = of_operator.read("/units/L07")

    assert unit["open_defects"] == [
        {"item": "tyre", "title": "Tyre", "critical": True, "state": "open", "defects": defects,
         "since": entry["made_at"]}
    ]  # fmt: skip
    assert unit["verdict"]["reasons"] == [
        {"code": "defect", "text": "Tyre", "item": "tyre", "defects": defects}
    ]


def test_a_deferred_line_tells_its_end_and_its_restrictions(of_operator, of_mechanic):
    defects = of_operator.enter_one("walkaround", make.walkaround(seat="defect"))["defects"]
    until = instant.text(make.at(120))
    body = {"restrictions": "Belt on, no climbing", "until": until, "until_hours": 90}
    of_mechanic.enter_one("defer", {"defects": defects, **body}, minutes=20)

    unit = of_operator.read("/units/L07")

    [line] = unit["open_defects"]
    assert {name: line[name] for name in ("state", *body)} == {"state": "deferred", **body}
    assert unit["verdict"]["state"] == "ok_with_restrictions"
    assert (unit["verdict"]["may_run"], unit["verdict"]["valid_until"]) == (True, until)
    assert body["restrictions"] in unit["verdict"]["reasons"][0]["text"]


def test_each_reason_names_what_it_speaks_of(of_operator, of_supervisor):
    hold, lay_up = (make.entry(kind, {"reason": "Winter"}) for kind in ("hold", "lay_up"))
    wish = make.entry("wish", {})
    of_supervisor.enter(hold, lay_up, wish)

    told = {one["code"]: one for one in reasons(of_operator)}

    assert told["hold"]["hold"] == hold["id"]
    assert told["laid_up"]["lay_up"] == lay_up["id"]
    assert told["doubt"]["about"] == wish["id"]
    assert list(told) == ["laid_up", "hold", "not_walked", "doubt"], "blocking ones first"


def test_all_units_are_told_as_each_is_alone(of_operator):
    of_operator.enter_one("walkaround", make.walkaround())

    units = of_operator.read("/units")["units"]

    assert units == [of_operator.read(f"/units/{number}") for number in ("D02", "L07")]


def test_the_revision_changes_with_whatever_the_board_shows_and_with_nothing_else(
    of_supervisor, clock
):
    def revision():
        return of_supervisor.read("/units")["revision"]

    seen = [revision(), revision()]
    of_supervisor.enter_one("walkaround", make.walkaround())
    seen.append(revision())
    of_supervisor.enter_one("hold", {"reason": " "})
    seen.append(revision())
    clock.shift(8 * 3600)
    seen.append(revision())

    assert seen[0] == seen[1]
    assert len(set(seen)) == 4
    assert all(isinstance(one, int) and 0 <= one < 2**53 for one in seen), "RFC 7493, 2.2"


@pytest.mark.parametrize("tail", ["", "/checklist", "/logbook", "/services"])
@pytest.mark.parametrize("number", ["X99", "l07", "L07%20", "%00", "L" * 3000])
def test_an_unknown_unit_is_a_problem(of_operator, number, tail):
    said = of_operator.read(f"/units/{number}{tail}", 404)

    assert said["status"] == 404
    assert said["detail"]


# --- ?at= ---


@pytest.fixture
def day(of_operator, of_mechanic, of_supervisor, clock):
    """A defect is found at 06:40 and cleared at 07:10; now it is 07:30."""
    clock.move_to(make.at(40) / 1000)
    found = of_operator.enter_one(
        "walkaround", make.walkaround(38, tyre="defect"), minutes=38, sent_at=40
    )
    clock.move_to(make.at(70) / 1000)
    clear = {"defects": found["defects"], "outcome": "repaired", "work": "New tyre"}
    of_mechanic.enter_one("clear", clear, minutes=69, sent_at=70)
    clock.move_to(make.at(90) / 1000)


@pytest.mark.parametrize(
    ("minutes", "state"),
    [
        (39, "not_checked"),
        (40, "tagged_out"),
        (69, "tagged_out"),
        (70, "ok_to_run"),
        (90, "ok_to_run"),
        (479, "ok_to_run"),
        (480, "not_checked"),
    ],
)
def test_a_verdict_of_the_past_knows_what_had_come_in_and_one_of_the_future_all(
    day, of_supervisor, minutes, state
):
    said = of_supervisor.read("/units/L07", at=instant.text(make.at(minutes)))

    assert said["verdict"]["state"] == state


def test_at_takes_any_offset_also_with_a_plus_that_turned_into_a_space(day, of_supervisor):
    answer = of_supervisor.call("GET", "/units/L07?at=2026-11-25T06:50:00+01:00")

    assert answer.json["verdict"]["state"] == "tagged_out"


@pytest.mark.parametrize("who", ["of_operator", "of_mechanic"])
def test_at_is_for_supervisors(request, who):
    program = request.getfixturevalue(who)

    assert program.read("/units/L07", 403, at="2026-11-25T05:00:00Z")["status"] == 403


@pytest.mark.parametrize("at", ["", "yesterday", "2026-11-25", "2026-11-25T05:00:00", "7", "\0"])
def test_at_takes_an_instant_only(of_supervisor, at):
    assert of_supervisor.read("/units/L07", 422, at=at)["status"] == 422


@pytest.mark.parametrize("at", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"])
def test_at_takes_any_instant_there_is(of_supervisor, at):
    assert of_supervisor.read("/units/L07", at=at)["verdict"]["state"] == "not_checked"


# --- checklists ---


def test_the_checklist_in_force_tells_what_it_is(of_operator):
    said = of_operator.read("/units/L07/checklist", occasion="start_of_shift")

    assert {n: said[n] for n in ("checklist", "version", "title", "cautions")} == {
        "checklist": "loader-start",
        "version": make.VERSION,
        "title": "Small loader list",
        "cautions": ["Park on level ground and take the key."],
    }


def test_a_checklist_stands_in_walking_order(of_operator):
    said = of_operator.read("/units/L07/checklist")

    assert [(one["station"], one["engine"]) for one in said["stations"]] == [
        ("front-left", "stopped"),
        ("cab", "running"),
    ]
    assert said["stations"][0]["items"][0] == {
        "item": "tyre",
        "look": "Tyre",
        "good": "No cut to the cords.",
        "critical": True,
        "due": True,
        "photo": "asked",
        "findings": [
            {"finding": "cut", "title": "cut to the cords"},
            {"finding": "bulge", "title": "bulge"},
        ],
        "answers": ["in_order", "defect", "could_not_check"],
    }


def test_an_item_tells_how_to_look_where_its_list_does(of_operator):
    items = of_operator.read("/units/L07/checklist", lang="es")["stations"][0]["items"]
    told = {item["item"]: item["how"] for item in items if "how" in item}

    assert told == {"coupler": "A la vista, desde un lado."}


def test_a_measured_item_tells_its_limits_and_is_due_when_its_time_has_come(of_operator, clock):
    def pressure():
        items = of_operator.read("/units/L07/checklist")["stations"][0]["items"]
        return next(item for item in items if item["item"] == "pressure")

    before = pressure()
    of_operator.enter_one("walkaround", make.walkaround())
    after = pressure()
    clock.shift(7 * 24 * 3600)

    assert before["measure"] == {"quantity": "pressure", "in": "kPa", "low": 300, "high": 380}
    assert (before["due"], after["due"]) == (True, False)
    assert pressure()["due"]


@pytest.mark.parametrize(
    ("number", "occasion", "name"),
    [("L07", "end_of_shift", "loader-end"), ("D02", "start_of_shift", "any-start")],
)
def test_a_unit_has_the_list_of_its_machine_else_the_generic_one(
    of_operator, number, occasion, name
):
    said = of_operator.read(f"/units/{number}/checklist", occasion=occasion)

    assert said["checklist"] == name


@pytest.mark.parametrize("occasion", ["after_repair", "party", ""])
def test_an_occasion_without_a_list_is_a_problem(of_operator, occasion):
    assert of_operator.read("/units/L07/checklist", 404, occasion=occasion)["status"] == 404


# --- logbook and what was refused ---


def test_a_logbook_is_told_oldest_first_with_all_members_and_its_chain(of_operator):
    of_operator.enter_one("walkaround", make.walkaround())
    of_operator.enter_one("hours", {"value": 90})

    said = of_operator.read("/units/L07/logbook")

    assert (said["unit"], [one["seq"] for one in said["entries"]]) == ("L07", [1, 2])
    before = "0" * 64
    for entry in said["entries"]:
        assert entry.keys() == {
            "site", "unit", "seq", "id", "kind", "made_at", "received_at", "skew_ms", "by", "roles",
            "signature", "body", "device", "n", "seen", "prev", "hash",
        }  # fmt: skip
        hash = entry.pop("hash")
        # FIPS 180-4 over RFC 8785, by the library rfc8785
        assert hashlib.sha256(rfc8785.dumps(entry)).hexdigest() == hash
        assert entry["prev"] == before
        before = hash
    assert of_operator.read("/units/L07")["hash"] == before


@pytest.mark.parametrize(("after", "seqs"), [("0", [1, 2, 3]), ("2", [3]), ("3", []), ("99", [])])
def test_a_logbook_is_read_on_from_where_one_was(of_operator, after, seqs):
    for value in (90, 91, 92):
        of_operator.enter_one("hours", {"value": value})

    said = of_operator.read("/units/L07/logbook", after=after)

    assert [one["seq"] for one in said["entries"]] == seqs


@pytest.mark.parametrize("after", ["", "-1", "1.5", "x", "9" * 30, "²", "\0"])
def test_after_takes_a_seq_only(of_operator, after):
    assert of_operator.read("/units/L07/logbook", 422, after=after)["status"] == 422


def test_what_was_refused_is_told_to_supervisors_with_its_reason(of_operator, of_supervisor):
    entry = make.entry("hold", {"reason": "Brakes"}, unit="X99")
    result = of_operator.enter(entry)[0]

    said = of_supervisor.read("/refused")

    content = {name: entry[name] for name in ("kind", "unit", "made_at", "body")}
    assert said["refused"] == [
        {"id": entry["id"], "unit": "X99", "kind": "hold", "by": "101", "why": result["why"],
         "received_at": "2026-11-25T05:30:00Z", "content": content}
    ]  # fmt: skip


@pytest.mark.parametrize("who", ["of_operator", "of_mechanic"])
def test_what_was_refused_is_for_supervisors(request, who):
    assert request.getfixturevalue(who).read("/refused", 403)["status"] == 403


# --- language, errors ---


@pytest.mark.parametrize(
    ("query", "header", "look"),
    [
        ({}, "", "Tyre"),
        ({}, "es-MX,es;q=0.9", "Neumático"),
        ({}, "fr", "Tyre"),
        ({"lang": "es"}, "en", "Neumático"),
        ({"lang": "en"}, "es", "Tyre"),
        ({"lang": "xx"}, "es", "Neumático"),
    ],
)
def test_text_is_in_lang_else_as_the_header_likes_else_the_sites(of_operator, query, header, look):
    answer = of_operator.call("GET", "/units/L07/checklist", query_string=query,
                              headers={"Accept-Language": header})  # fmt: skip

    assert answer.json["stations"][0]["items"][0]["look"] == look


def test_without_any_wish_text_is_in_the_sites_language(of_operator, db):
    settings.put(db, "language", "es", make.DAWN)
    db.commit()

    assert of_operator.read("/units/L07/checklist")["title"] == "Lista corta de cargadora"


@pytest.mark.parametrize("path", ["/me", "/people", "/units", "/units/L07", "/refused",
                                  "/units/L07/checklist", "/units/L07/logbook",
                                  "/units/L07/services"])  # fmt: skip
def test_who_is_not_signed_in_reads_nothing_and_is_led_nowhere(client, path):
    answer = client.get(f"/api/v1{path}")

    assert answer.status_code == 401
    assert "Location" not in answer.headers


@pytest.mark.parametrize(("method", "path", "status"), [("GET", "/nothing", 404),
                                                        ("DELETE", "/units", 405),
                                                        ("PUT", "/entries", 405)])  # fmt: skip
def test_every_error_is_a_problem_with_a_sentence(of_operator, method, path, status):
    answer = of_operator.call(method, path)

    # RFC 9457, 3.1: type, status, title, detail
    assert answer.content_type == "application/problem+json"
    assert (answer.status_code, answer.json["status"]) == (status, status)
    assert answer.json["type"] == "about:blank"
    assert answer.json["detail"].endswith(".")


def test_twenty_at_once_with_one_entry_write_it_once(app, of_operator):
    entry = make.entry("walkaround", make.walkaround(tyre="defect"))

    with ThreadPoolExecutor(20) as pool:
        results = list(pool.map(lambda _: of_operator.enter(entry)[0], range(20)))

    assert sorted(one["result"] for one in results) == ["accepted", *["known"] * 19]
    assert of_operator.read("/units/L07")["seq"] == 1
