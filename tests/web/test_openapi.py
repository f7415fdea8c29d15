"""The description against the program: by hand, and by schemathesis, which makes up requests."""

import copy
import re
from typing import Any

import jsonschema_rs
import pytest
import schemathesis
from hypothesis import given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from tests import make
from tests.web.conftest import Program
from walkaround.rules import instant
from walkaround.web.openapi import document

SITE = ("https://walkaround.example", "session-cookie")
CHECKS = [
    not_a_server_error,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
]
SOME_ID = "0192f5a0-0000-7000-8000-000000000001"
METHODS = {"get", "put", "post", "patch", "delete"}


def closed(part: Any) -> Any:
    """Return a description in which nothing may be answered that it does not name."""
    if isinstance(part, list):
        return [closed(one) for one in part]
    if not isinstance(part, dict):
        return part
    made = {name: closed(one) for name, one in part.items()}
    return {**made, "additionalProperties": False} if "properties" in made else made


def validator(name: str) -> Any:
    """Return what tells whether an answer is as described, to the last member."""
    whole = closed(document(*SITE))
    schema = {"$ref": f"#/components/schemas/{name}", "components": whole["components"]}
    return jsonschema_rs.Draft202012Validator(schema, validate_formats=True)


def test_the_description_is_there_for_everybody(client):
    answer = client.get("/api/v1/openapi.json")

    assert answer.status_code == 200
    assert answer.content_type == "application/json"
    assert answer.json["openapi"] == "3.1.0"


def test_the_document_is_openapi_3_1():
    # the schema that the OpenAPI Initiative publishes for 3.1, as schemathesis carries it
    schemathesis.openapi.from_dict(document(*SITE)).validate()


@pytest.mark.parametrize("name", document(*SITE)["components"]["schemas"])
def test_each_schema_is_json_schema_2020_12_and_refers_only_to_what_is_there(name):
    jsonschema_rs.meta.validate(document(*SITE)["components"]["schemas"][name])

    validator(name)  # it raises where a reference leads nowhere


def test_routes_and_description_agree_both_ways(app):
    routes = {
        (re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule), method.lower())
        for rule in app.url_map.iter_rules()
        if rule.rule.startswith("/api/")
        for method in rule.methods - {"HEAD", "OPTIONS"}
    }

    described = {
        (path, method)
        for path, item in document(*SITE)["paths"].items()
        for method in METHODS & item.keys()
    }
    assert described == routes


def test_both_ways_of_signing_in_are_described_for_each_address():
    for path, item in document(*SITE)["paths"].items():
        for method in METHODS & item.keys():
            ways = [sorted(way) for way in item[method]["security"]]

            session = ["session"] if method == "get" else ["csrf", "session"]
            assert ways == ([] if path.endswith("openapi.json") else [["token"], session])


def test_every_error_is_a_problem_as_rfc_9457_asks():
    for item in document(*SITE)["paths"].values():
        for operation in (item[method] for method in METHODS & item.keys()):
            for status, answer in operation["responses"].items():
                problem = "application/problem+json" in answer.get("content", {})

                assert problem == (status >= "400"), (operation["summary"], status)


def test_the_session_is_described_by_the_name_of_its_cookie(app, operator):
    names = {cookie.key for cookie in operator._cookies.values()}

    schemes = operator.get("/api/v1/openapi.json").json["components"]["securitySchemes"]

    assert schemes["session"]["name"] in names


def a_site_where_much_has_happened(
    operator: Program, mechanic: Program, supervisor: Program
) -> None:
    """Fill the logbook of L07 with all that an answer can speak of."""
    walk = make.walkaround(tyre="defect", seat="defect", horn="in_order")
    found = operator.enter_one("walkaround", walk)["defects"]
    hoses = operator.enter_one("defect", {"what": "Hose weeping", "item": "hose"})["defects"]
    until = instant.text(make.at(600))
    limits = {"restrictions": "First gear only", "until": until, "until_hours": 90}
    mechanic.enter_one("defer", {"defects": hoses, **limits})
    mechanic.enter_one(
        "clear", {"defects": found[:1], "outcome": "repaired", "work": "New seat cover"}
    )
    supervisor.enter_one("hold", {"reason": "Brake test on Friday"})
    supervisor.enter_one("lay_up", {"reason": "Winter"})
    supervisor.enter_one("hours", {"value": "many"})
    supervisor.enter_one("walkaround", {}, id="no uuid")


ANSWERS = {
    "/me": "Me",
    "/people": "People",
    "/units": "Units",
    "/units/L07": "Unit",
    "/units/L07/checklist": "Checklist",
    "/units/D02/checklist": "Checklist",
    "/units/L07/logbook": "Logbook",
    "/units/L07/services": "Countdowns",
    "/refused": "AllRefused",
    "/units/X99": "Problem",
}


@pytest.mark.parametrize("path", ANSWERS)
def test_an_answer_is_described_to_the_last_member(path, of_operator, of_mechanic, of_supervisor):
    a_site_where_much_has_happened(of_operator, of_mechanic, of_supervisor)

    said = of_supervisor.call("GET", path).json

    validator(ANSWERS[path]).validate(said)


def test_what_a_session_is_told_is_described_too(operator):
    validator("Me").validate(operator.get("/api/v1/me").json)


def test_results_are_described_to_the_last_member(of_operator):
    entries = [make.entry("walkaround", make.walkaround(tyre="defect")), make.entry("x", {}), 7]

    said = {"results": of_operator.enter(*entries, entries[0])}

    validator("Results").validate(said)


BODIES = {
    "walkaround": make.walkaround(tyre="defect"),
    "defect": {"what": "Hose weeping", "critical": True, "photos": ["0" * 64]},
    "clear": {"defects": [SOME_ID], "outcome": "repaired", "work": "New hose"},
    "hold": {"reason": "Brake test"},
    "hours": {"value": 90},
    "settle": {"about": SOME_ID, "note": "Typed twice"},
}
WRONG = {
    "walkaround": {"started_at": "this morning"},
    "defect": {"what": " "},
    "clear": {"defects": ["7"]},
    "hold": {"reason": ""},
    "hours": {"value": -1},
    "settle": {"about": None},
}


@pytest.mark.parametrize("kind", BODIES)
def test_what_is_sent_is_described_as_it_is_read(kind, of_supervisor):
    wrong = {**BODIES[kind], **WRONG[kind]}

    takes = [validator(f"Body_{kind}").is_valid(body) for body in (BODIES[kind], wrong)]

    read = [of_supervisor.enter_one(kind, body).get("why", "") for body in (BODIES[kind], wrong)]
    assert takes == ["could not be read" not in why for why in read] == [True, False]


@pytest.fixture
def described(app, clock, of_supervisor, of_operator, of_mechanic):
    """The description as schemathesis takes it, over a site where there is something to see."""
    a_site_where_much_has_happened(of_operator, of_mechanic, of_supervisor)
    loaded = copy.deepcopy(closed(document("http://localhost", "walkaround-session")))
    for item in loaded["paths"].values():
        for parameter in item.get("parameters", ()):
            if parameter["name"] == "number":  # so that more than the unknown unit is seen
                parameter["schema"] = UNITS
    for kind in loaded["components"]["schemas"]["Batch"]["properties"]["entries"]["items"]["oneOf"]:
        kind["properties"]["unit"] = UNITS
    schema = schemathesis.openapi.from_dict(loaded)
    schema.app = app
    return schema


UNITS = {"enum": ["L07", "D02", "X99", "ñ\u2028", "\x00", "a" * 999]}
OPERATIONS = [
    (path, method)
    for path, item in document(*SITE)["paths"].items()
    for method in sorted(METHODS & item.keys())
    if path != "/api/v1/openapi.json"  # it takes nothing, so there is nothing to make up
]
MODES = [schemathesis.GenerationMode.POSITIVE, schemathesis.GenerationMode.NEGATIVE]


@pytest.mark.parametrize("mode", MODES, ids=["as described", "otherwise"])
@pytest.mark.parametrize(("path", "method"), OPERATIONS)
def test_whatever_is_asked_the_answer_is_as_described(described, of_supervisor, path, method, mode):
    headers = {"Authorization": f"Bearer {of_supervisor.token}", "Accept-Encoding": "identity"}

    @settings(max_examples=30, deadline=None, derandomize=True, database=None)
    @given(described[path][method].as_strategy(generation_mode=mode))
    def ask(case):
        case.call_and_validate(headers=headers, checks=CHECKS)

    ask()
