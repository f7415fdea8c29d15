"""Confirming on a line's page what came in without a signature."""

import pytest

from tests.door import MILAN, Door, defect_id
from tests.repairs import text

OLD = 5 * 60


@pytest.fixture
def seat(db):
    """A line that Milan's phone cleared with a wrong PIN."""
    door = Door(db)
    seat = defect_id(door.walk(seat="defect"), "seat")
    body = {"defects": [seat], "outcome": "repaired", "work": "new cover"}
    door.send("clear", body, MILAN, minutes=20, proved=False)
    return f"/defects/L07/{seat}"


def form_of(page):
    form = page.find("form", action=lambda action: action and action.endswith("/confirmation"))
    return {field["name"]: field["value"] for field in form.find_all("input", type="hidden")}


def test_the_page_asks_whoever_sent_it(mechanic, supervisor, seat):
    assert "it came without your signature. Was it you?" in text(mechanic.page(seat))

    assert "Was it you?" not in text(supervisor.page(seat))


def test_once_confirmed_it_counts(mechanic, seat):
    answer = mechanic.submit(f"{seat}/confirmation", **unsigned(form_of(mechanic.page(seat))))

    assert answer.status_code == 303
    page = text(mechanic.page(seat))
    assert "Confirmed: it counts from now on." in page
    assert "Repaired Milan Mechanic, today 06:20 new cover" in page


def test_the_pin_is_asked_for_after_five_minutes(mechanic, seat, clock):
    fields = unsigned(form_of(mechanic.page(seat)))
    clock.shift(OLD)

    page = mechanic.refused(f"{seat}/confirmation", **fields)

    assert "Give your PIN" in text(page)
    assert "Open: it tags L07 out" in text(page)


@pytest.mark.parametrize("entry", ["nonsense", "019abcde-0000-7000-8000-000000000001"])
def test_what_is_not_there_is_refused_in_words(mechanic, seat, entry):
    fields = unsigned(form_of(mechanic.page(seat))) | {"confirmed": entry}

    page = mechanic.refused(f"{seat}/confirmation", **fields)

    assert "L07 has no such entry" in text(page)


def test_nobody_confirms_for_somebody_else(mechanic, seat, db):
    walk = Door(db).rows()[0].id
    db.rollback()
    fields = unsigned(form_of(mechanic.page(seat))) | {"confirmed": walk}

    page = mechanic.refused(f"{seat}/confirmation", **fields)

    assert "Only the one who made this entry" in text(page)


def unsigned(fields):
    return {name: value for name, value in fields.items() if name != "csrf_token"}
