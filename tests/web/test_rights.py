"""Who may do what: one table, written by hand, against every route (OWASP ASVS 8.1.1, 8.2.1)."""

import pytest
from itsdangerous import URLSafeTimedSerializer

from tests import make
from tests.client import Client
from tests.people import some_keys
from tests.web.routes import addresses, much
from walkaround.actions.set_person import set_person

ANYBODY, SIGNED_IN = "anybody", "signed in"
MECHANIC, SUPERVISOR, BOTH = {"mechanic"}, {"supervisor"}, {"mechanic", "supervisor"}
ROLES = ("operator", "mechanic", "supervisor")

RIGHTS = {
    "GET board.show": SUPERVISOR,
    "GET contact.known": SIGNED_IN,  # or an enrolled phone, whoever holds it: test_contact.py
    "GET corrections.confirm": SIGNED_IN,  # of entries of their own, which other tests hold
    "GET corrections.correct": SIGNED_IN,
    "GET defects.clear": MECHANIC,
    "GET defects.defer": MECHANIC,
    "GET defects.index": BOTH,
    "GET defects.show": BOTH,
    "GET defects.withdraw": BOTH,
    "GET doubts.index": SUPERVISOR,
    "GET doubts.refusals": SUPERVISOR,
    "GET doubts.settling": SUPERVISOR,
    "GET fills.new": SIGNED_IN,
    "GET fleet.change": SUPERVISOR,
    "GET fleet.new": SUPERVISOR,
    "GET health.healthz": ANYBODY,
    "GET health.readyz": ANYBODY,
    "GET holds.lay_up": SUPERVISOR,
    "GET holds.new": SUPERVISOR,
    "GET holds.release": SUPERVISOR,
    "GET holds.return_": SUPERVISOR,
    "GET install.manifest": ANYBODY,
    "GET install.picture": ANYBODY,
    "GET kept.everything": SIGNED_IN,
    "GET kept.page": ANYBODY,
    "GET kept.report": SIGNED_IN,  # or an enrolled phone, whoever holds it: test_kept.py
    "GET kept.waiting": ANYBODY,
    "GET kept.walk": SIGNED_IN,
    "GET kept_file": ANYBODY,
    "GET labels.index": SUPERVISOR,
    "GET labels.pdf": SUPERVISOR,
    "GET labels.replacement": SUPERVISOR,
    "GET labels.scanned": ANYBODY,
    "GET logbook.export": SUPERVISOR,
    "GET logbook.show": SIGNED_IN,
    "GET meters.change": SUPERVISOR,
    "GET meters.hours": SIGNED_IN,
    "GET more.index": SIGNED_IN,
    "GET offline.worker": ANYBODY,
    "GET openapi.show": ANYBODY,
    "GET people.change": SUPERVISOR,
    "GET people.index": SUPERVISOR,
    "GET people.leaving": SUPERVISOR,
    "GET people.new": SUPERVISOR,
    "GET phones.index": SUPERVISOR,
    "GET phones.new": SUPERVISOR,
    "GET phones.shutting_out": SUPERVISOR,
    "GET photos.read": SIGNED_IN,
    "GET photos.show": SIGNED_IN,
    "GET programs.all_people": SIGNED_IN,
    "GET programs.all_refused": SUPERVISOR,
    "GET programs.all_units": SIGNED_IN,
    "GET programs.checklist": SIGNED_IN,
    "GET programs.logbook": SIGNED_IN,
    "GET programs.me": SIGNED_IN,
    "GET programs.services": SIGNED_IN,
    "GET programs.unit": SIGNED_IN,
    "GET refused.entering": SUPERVISOR,
    "GET refused.note": SUPERVISOR,
    "GET reports.new": SIGNED_IN,
    "GET scan.show": ANYBODY,
    "GET sign_in.enrol": ANYBODY,
    "GET sign_in.new": ANYBODY,
    "GET start.index": SIGNED_IN,
    "GET units.index": SIGNED_IN,
    "GET units.show": SIGNED_IN,
    "GET walkarounds.new": SIGNED_IN,
    "GET walkarounds.show": SIGNED_IN,
    "POST contact.told": SIGNED_IN,
    "POST corrections.confirm": SIGNED_IN,
    "POST corrections.correct": SIGNED_IN,
    "POST defects.clear": MECHANIC,
    "POST defects.confirm": MECHANIC,
    "POST defects.defer": MECHANIC,
    "POST defects.withdraw": BOTH,
    "POST doubts.settling": SUPERVISOR,
    "POST entries.post": SIGNED_IN,
    "POST fills.new": SIGNED_IN,
    "POST fleet.change": SUPERVISOR,
    "POST fleet.new": SUPERVISOR,
    "POST holds.lay_up": SUPERVISOR,
    "POST holds.new": SUPERVISOR,
    "POST holds.release": SUPERVISOR,
    "POST holds.return_": SUPERVISOR,
    "POST labels.replacement": SUPERVISOR,
    "POST meters.change": SUPERVISOR,
    "POST meters.hours": SIGNED_IN,
    "POST people.change": SUPERVISOR,
    "POST people.leaving": SUPERVISOR,
    "POST people.new": SUPERVISOR,
    "POST phones.asking": SUPERVISOR,
    "POST phones.new": SUPERVISOR,
    "POST phones.shutting_out": SUPERVISOR,
    "POST refused.entering": SUPERVISOR,
    "POST refused.note": SUPERVISOR,
    "POST reports.new": SIGNED_IN,
    "POST sign_in.new": ANYBODY,
    "POST sign_in.out": ANYBODY,
    "POST walkarounds.new": SIGNED_IN,
    "PUT photos.put": SIGNED_IN,
}


def test_the_table_names_each_route_and_no_other(app):
    assert sorted(RIGHTS) == sorted(one.name for one in addresses(app))


@pytest.fixture
def filled(db, of_operator, of_mechanic, of_supervisor):
    return much(db, of_operator, of_mechanic, of_supervisor)


def form_token(client: Client) -> str:
    """Return a token as any page with a form has it; a stranger's sign-in page has no form."""
    with client.session_transaction() as session:
        session["csrf_token"] = "0" * 40
    return str(URLSafeTimedSerializer(some_keys().secret_key, "wtf-csrf-token").dumps("0" * 40))


def ask(client: Client, address, token: str):
    headers = {"X-CSRF-Token": token}
    return client.open(address.path, method=address.method, headers=headers, buffered=True)


@pytest.mark.parametrize("role", ROLES)
def test_each_role_may_what_the_table_says_and_nothing_else(app, request, filled, role):
    client = request.getfixturevalue(role)
    found = {}

    for address in sorted(addresses(app, filled), key=lambda one: one.endpoint == "sign_in.out"):
        if address.endpoint != "phones.shutting_out" or address.method == "GET":
            found[address.name] = ask(client, address, client.token()).status_code

    expected = {n: r in (ANYBODY, SIGNED_IN) or role in r for n, r in RIGHTS.items() if n in found}
    assert {name: status not in (401, 403) for name, status in found.items()} == expected
    assert not {name: status for name, status in found.items() if status >= 500}


def test_a_stranger_is_asked_to_sign_in_first(app, filled, client):
    token = form_token(client)

    for address in addresses(app, filled):
        answer = ask(client, address, token)
        place = answer.headers.get("Location", "")
        if RIGHTS[address.name] == ANYBODY:
            assert answer.status_code not in (401, 403), address
        elif address.path.startswith("/api/"):
            assert (answer.status_code, place) == (401, ""), address
        else:
            assert (answer.status_code, place[:8]) == (303, "/sign-in"), address


def test_whoever_may_see_a_thing_finds_it(app, filled, supervisor, mechanic):
    """So that the table is not kept by pages that are merely missing."""
    own = {
        "id of corrections.correct": filled["id of walkarounds.show"],
        "id of corrections.confirm": filled["unconfirmed"],
    }
    for address in addresses(app, filled | own):
        allowed, mine = RIGHTS[address.name], address.method == "GET"
        if mine and address.endpoint != "sign_in.enrol":
            client = mechanic if allowed == MECHANIC else supervisor
            status = client.get(address.path, buffered=True).status_code

            assert status in (200, 303), (address, status)


def test_a_role_that_was_taken_away_opens_nothing_any_more(db, of_supervisor):
    before = of_supervisor.read("/refused")

    set_person(db, some_keys(), "301", make.at(30), roles=["operator"])

    assert before == {"refused": []}
    assert of_supervisor.read("/refused", 403)["status"] == 403
