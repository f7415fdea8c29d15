"""Deferring a line on its page, and taking a deferral back."""

import uuid
from datetime import date, time

import pytest

from tests.repairs import defer, entries, find, form_of, text
from walkaround.rules import instant
from walkaround.store import settings
from walkaround.web.defect_forms import end_of

OLD = 5 * 60
TERMS = {"restrictions": "Not above second gear.", "until_date": "2026-11-28"}


@pytest.fixture
def seat(of_operator) -> str:
    return f"/defects/L07/{find(of_operator, seat={'findings': ['torn']})[0]}"


def test_a_line_is_deferred_under_restrictions_until_the_end_of_a_day(mechanic, seat, of_operator):
    fields = form_of(mechanic, f"{seat}/deferral")

    answer = mechanic.submit(f"{seat}/deferral", **fields, **TERMS)

    assert (answer.status_code, answer.headers["Location"]) == (303, seat)
    (entry,) = entries(of_operator, "defer")
    assert entry["body"]["defects"] == fields["defect"]
    assert entry["body"]["restrictions"] == "Not above second gear."
    assert entry["body"]["until"] == "2026-11-28T22:59:59Z"  # 23:59:59 in Madrid, one hour ahead


def test_the_unit_may_then_run_and_the_page_says_so(mechanic, seat, of_operator):
    mechanic.submit(f"{seat}/deferral", **form_of(mechanic, f"{seat}/deferral"), **TERMS)

    page = text(mechanic.page(seat))

    assert "Deferred, and signed with your name." in page
    assert "Deferred until 28 Nov 23:59. Not above second gear." in page
    state = of_operator.read("/units/L07")["verdict"]["state"]
    assert state == "ok_with_restrictions"


def test_a_time_and_a_reading_may_be_given(mechanic, seat, of_operator):
    fields = form_of(mechanic, f"{seat}/deferral")

    mechanic.submit(f"{seat}/deferral", **fields, **TERMS, until_time="14:30", hours="120,5")

    body = entries(of_operator, "defer")[0]["body"]
    assert (body["until"], body["until_hours"]) == ("2026-11-28T13:30:00Z", 120.5)


@pytest.mark.parametrize(
    ("zone", "day", "moment", "wanted"),
    [
        # offsets after the IANA time zone database: Madrid is UTC+1, from the last Sunday of March
        # until the last Sunday of October UTC+2; Kolkata is UTC+5:30
        ("Europe/Madrid", date(2026, 10, 24), None, "2026-10-24T21:59:59Z"),
        ("Europe/Madrid", date(2026, 10, 25), None, "2026-10-25T22:59:59Z"),
        ("Asia/Kolkata", date(2026, 11, 25), None, "2026-11-25T18:29:59Z"),
        ("Europe/Madrid", date(2027, 3, 28), time(2, 30), "2027-03-28T01:00:00Z"),  # skipped
    ],
)
def test_a_day_ends_by_the_clock_of_the_site(zone, day, moment, wanted):
    assert instant.text(end_of(day, moment, zone)) == wanted


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("restrictions", " ", "Write the restrictions."),
        ("until_date", "", "Give a date."),
        ("until_date", "soon", "Give a date."),
        ("until_date", "2026-11-24", "must lie ahead"),
        ("until_date", "2026-12-26", "for 30 days at the most"),
        ("until_date", "9999-12-31", "Give a date."),
        ("until_time", "25:99", "Give a time"),
        ("hours", "84", "stands at 84 h already"),
        ("hours", "x", "Give the reading in figures"),
    ],
)
def test_what_is_missing_or_wrong_is_said_and_the_rest_stays(
    mechanic, seat, of_operator, field, value, sentence
):
    fields = form_of(mechanic, f"{seat}/deferral") | TERMS | {"hours": "90", field: value}

    page = mechanic.refused(f"{seat}/deferral", **fields)

    assert sentence in page.find(id=f"{field}-error").get_text()
    assert page.find(id="restrictions").get_text().strip() == fields["restrictions"].strip()
    assert not entries(of_operator, "defer")


def test_the_last_whole_day_is_the_one_that_the_page_names(mechanic, seat):
    page = mechanic.page(f"{seat}/deferral")

    last = page.find(id="until_date")["max"]
    assert last == "2026-12-24"  # 30 days on it is the 25th, 06:30: its end would be too far on
    fields = form_of(mechanic, f"{seat}/deferral")
    answer = mechanic.submit(f"{seat}/deferral", **fields, **TERMS | {"until_date": last})
    assert answer.status_code == 303


def test_the_site_may_set_fewer_days(mechanic, seat, db):
    settings.put(db, "defer_days", "2", 0)
    db.commit()

    page = mechanic.refused(f"{seat}/deferral", **form_of(mechanic, f"{seat}/deferral"), **TERMS)

    assert "for 2 days at the most" in text(page)


def test_what_can_kill_is_refused_with_the_reason(mechanic, of_operator):
    (id,) = find(of_operator, tyre={})
    fields = {"entry": str(uuid.uuid4()), "defect": id, **TERMS}

    assert mechanic.get(f"/defects/L07/{id}/deferral").headers["Location"] == f"/defects/L07/{id}"
    page = mechanic.refused(f"/defects/L07/{id}/deferral", **fields)

    assert "This can kill, so it cannot be deferred" in text(page)
    assert not entries(of_operator, "defer")


def test_a_form_posted_twice_defers_once(mechanic, seat, of_operator, clock):
    fields = form_of(mechanic, f"{seat}/deferral")
    mechanic.submit(f"{seat}/deferral", **fields, **TERMS)
    clock.shift(2)

    answer = mechanic.submit(f"{seat}/deferral", **fields, **TERMS)

    assert answer.status_code == 303
    assert len(entries(of_operator, "defer")) == 1
    assert not entries(of_operator, "doubt")


def test_earlier_deferrals_stand_above_the_form(mechanic, seat, of_mechanic):
    defer(of_mechanic, [seat[-36:]], 20)

    page = text(mechanic.page(f"{seat}/deferral"))

    assert "Deferred so far: 1, the first time today 06:20." in page
    assert "Level ground only. until today 16:00 Milan Mechanic, today 06:20" in page


def test_deferring_asks_for_the_pin_after_five_minutes(mechanic, seat, of_operator, clock):
    fields = form_of(mechanic, f"{seat}/deferral")
    clock.shift(OLD)

    mechanic.refused(f"{seat}/deferral", **fields, **TERMS)

    assert not entries(of_operator, "defer")


def test_whoever_signed_a_deferral_can_withdraw_it(mechanic, seat, of_mechanic, of_operator):
    deferral = defer(of_mechanic, [seat[-36:]])
    address = f"{seat}/deferrals/{deferral}/withdrawal"
    assert mechanic.page(seat).find("a", href=address)

    answer = mechanic.submit(address, **form_of(mechanic, address), why="It got worse.")

    assert answer.status_code == 303
    page = text(mechanic.page(seat))
    assert "Open: it tags L07 out" in page
    assert "withdrawn" in page
    (entry,) = entries(of_operator, "correction")
    assert entry["body"] == {"entry": deferral, "what": "It got worse.", "withdraws": True}


def test_a_withdrawal_says_why_and_asks_for_the_pin(mechanic, seat, of_mechanic, clock):
    address = f"{seat}/deferrals/{defer(of_mechanic, [seat[-36:]])}/withdrawal"
    fields = form_of(mechanic, address)

    assert "Write why." in text(mechanic.refused(address, **fields, why=""))

    clock.shift(OLD)
    assert "Give your PIN" in text(mechanic.refused(address, **fields, why="It got worse."))


def test_a_supervisor_withdraws_any_deferral(supervisor, seat, of_mechanic, of_operator):
    address = f"{seat}/deferrals/{defer(of_mechanic, [seat[-36:]])}/withdrawal"

    assert (
        supervisor.submit(address, **form_of(supervisor, address), why="Rain.").status_code == 303
    )

    assert of_operator.read("/units/L07")["verdict"]["state"] == "tagged_out"


def test_what_no_deferral_is_cannot_be_withdrawn(mechanic, seat, of_operator):
    (walk,) = entries(of_operator, "walkaround")

    mechanic.page(f"{seat}/deferrals/{walk['id']}/withdrawal", 404)


def test_an_operator_defers_and_withdraws_nothing(operator, seat, of_mechanic):
    deferral = defer(of_mechanic, [seat[-36:]])

    operator.page(f"{seat}/deferral", 403)
    operator.page(f"{seat}/deferrals/{deferral}/withdrawal", 403)
