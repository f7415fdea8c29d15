"""Clearing a line on its page."""

import io
import uuid

import pytest
from PIL import Image

from tests.repairs import clear, entries, find, form_of, text
from walkaround.store import settings

OLD = 5 * 60  # seconds until the PIN is asked for again
WORK = {"outcome": "repaired", "work": "New tyre, bolts to torque"}


@pytest.fixture
def tyre(of_operator) -> str:
    return f"/defects/L07/{find(of_operator, tyre={'findings': ['cut']})[0]}"


def test_one_tap_ends_the_whole_line(mechanic, of_operator):
    first, second = find(of_operator, 5, seat={}), find(of_operator, 6, seat={})
    address = f"/defects/L07/{second[0]}"

    answer = mechanic.submit(
        f"{address}/clearing", **form_of(mechanic, f"{address}/clearing"), **WORK
    )

    assert (answer.status_code, answer.headers["Location"]) == (303, address)
    assert entries(of_operator, "clear")[0]["body"]["defects"] == [*first, *second]
    assert of_operator.read("/units/L07")["open_defects"] == []


def test_the_page_then_says_what_was_done_by_whom_and_when(mechanic, tyre):
    more = {"parts": "17.5 R25", "hours": "84,5"}
    fields = form_of(mechanic, f"{tyre}/clearing")
    mechanic.submit(f"{tyre}/clearing", **fields, **WORK, **more)

    page = text(mechanic.page(tyre))

    assert "Cleared, and signed with your name." in page
    assert "Repaired Milan Mechanic, today 06:30 Parts: 17.5 R25 Hour meter: 84.5 h" in page
    assert "New tyre, bolts to torque" in page


def test_the_entry_holds_what_was_typed(mechanic, tyre, of_operator):
    fields = form_of(mechanic, f"{tyre}/clearing")
    mechanic.submit(f"{tyre}/clearing", **fields, **WORK, parts="17.5 R25", hours="84.5")

    (entry,) = entries(of_operator, "clear")

    assert entry["by"] == "201"
    assert entry["signature"] == "confirmed"
    assert entry["body"] == {
        "defects": fields["defect"],
        **WORK,
        "parts": "17.5 R25",
        "hours": 84.5,
    }


def test_a_form_posted_twice_enters_once_and_raises_no_doubt(mechanic, tyre, of_operator, clock):
    fields = form_of(mechanic, f"{tyre}/clearing")
    mechanic.submit(f"{tyre}/clearing", **fields, **WORK)
    clock.shift(2)

    again = mechanic.submit(f"{tyre}/clearing", **fields, outcome="no_fault_found", work="other")

    assert again.status_code == 303
    assert "what was sent first stands" in text(mechanic.page(tyre))
    assert len(entries(of_operator, "clear")) == 1
    assert not entries(of_operator, "doubt")


def test_an_id_that_somebody_else_used_is_refused_and_raises_no_doubt(
    mechanic, tyre, of_operator, of_supervisor
):
    taken = of_supervisor.enter_one("hold", {"reason": "inspection"})["id"]

    page = mechanic.refused(f"{tyre}/clearing", entry=taken, defect=tyre[-36:], **WORK)

    assert "used for something else" in text(page)
    assert not entries(of_operator, "doubt")


def test_what_somebody_else_cleared_meanwhile_is_said_and_what_was_typed_stays(
    mechanic, tyre, of_mechanic, of_operator
):
    fields = form_of(mechanic, f"{tyre}/clearing")
    clear(of_mechanic, fields["defect"], 29)

    page = mechanic.refused(f"{tyre}/clearing", **fields, **WORK)

    assert "Somebody else cleared this while your page was open" in text(page)
    assert page.find(id="work").get_text().strip() == WORK["work"]
    assert len(entries(of_operator, "clear")) == 1


def test_the_page_of_a_cleared_line_offers_no_second_clearing(mechanic, tyre, of_mechanic):
    clear(of_mechanic, [tyre[-36:]])

    assert mechanic.get(f"{tyre}/clearing").headers["Location"] == tyre
    assert not mechanic.page(tyre).select("a.button--main")


def test_what_was_found_again_while_the_page_was_open_stays_open(mechanic, tyre, of_operator):
    fields = form_of(mechanic, f"{tyre}/clearing")
    (again,) = find(of_operator, 28, tyre={"findings": ["bulge"]})

    answer = mechanic.submit(f"{tyre}/clearing", **fields, **WORK)

    assert answer.headers["Location"] == f"/defects/L07/{again}"
    page = text(mechanic.page(f"/defects/L07/{again}"))
    assert "found again while your page was open. That stays open" in page
    assert "Open: it tags L07 out" in page
    assert "It was found again, and that is open:" in text(mechanic.page(tyre))


def test_a_defect_that_nobody_has_found_cannot_be_cleared_in_advance(mechanic, tyre, of_operator):
    fields = form_of(mechanic, f"{tyre}/clearing") | {"defect": [str(uuid.uuid4())]}

    page = mechanic.refused(f"{tyre}/clearing", **fields, **WORK)

    assert "L07 has no such defect" in text(page)
    assert not entries(of_operator, "clear")


@pytest.mark.parametrize("defects", [[], ["nonsense"]])
def test_without_defects_nothing_is_cleared(mechanic, tyre, defects):
    fields = form_of(mechanic, f"{tyre}/clearing") | {"defect": defects}

    assert "No defect is named" in text(mechanic.refused(f"{tyre}/clearing", **fields, **WORK))


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("outcome", "", "Say whether it was repaired"),
        ("outcome", "painted_over", "Say whether it was repaired"),
        ("work", "", "Write what was done."),
        ("work", "  \n ", "Write what was done."),
        ("work", "x" * 5001, "This is too long"),
        ("hours", "many", "Give the reading in figures"),
        ("hours", "-1", "Give the reading in figures"),
        ("hours", "83", "it cannot go back"),
        ("hours", "2000", "more than has passed"),
        ("entry", "nonsense", "This page cannot be used any more"),
    ],
)
def test_what_is_missing_or_wrong_is_said_at_its_field(mechanic, tyre, field, value, sentence):
    fields = form_of(mechanic, f"{tyre}/clearing") | WORK | {"parts": "17.5 R25", field: value}

    page = mechanic.refused(f"{tyre}/clearing", **fields)

    assert sentence in text(page)
    assert page.find(id="parts")["value"] == "17.5 R25"


def test_a_photo_is_kept_even_where_the_form_is_refused(mechanic, tyre, of_operator):
    file = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(file, "JPEG")
    fields = form_of(mechanic, f"{tyre}/clearing")
    sent = (io.BytesIO(file.getvalue()), "after.jpg")

    page = mechanic.refused(f"{tyre}/clearing", **fields, outcome="repaired", work="", photos=sent)
    kept = page.select_one("input[name=photo]")["value"]
    mechanic.submit(f"{tyre}/clearing", **fields, **WORK, photo=kept)

    assert entries(of_operator, "clear")[0]["body"]["photos"] == [kept]
    assert mechanic.page(tyre).find("img")["src"].startswith(f"/photos/{kept}")


def test_what_is_no_photo_is_said_and_everything_else_stays(mechanic, tyre):
    fields = form_of(mechanic, f"{tyre}/clearing")
    sent = (io.BytesIO(b"<svg onload=alert(1)>"), "after.jpg")

    page = mechanic.refused(f"{tyre}/clearing", **fields, **WORK, photos=sent)

    assert "no photo that can be used" in page.find(id="photos-error").get_text()
    assert page.find(id="work").get_text().strip() == WORK["work"]


def test_a_photo_of_somebody_else_cannot_be_named(mechanic, tyre, of_operator):
    fields = form_of(mechanic, f"{tyre}/clearing")

    mechanic.submit(f"{tyre}/clearing", **fields, **WORK, photo=["0" * 64, "../x"])

    assert "photos" not in entries(of_operator, "clear")[0]["body"]


def test_after_five_minutes_it_is_signed_with_the_pin(mechanic, tyre, of_operator, clock):
    fields = form_of(mechanic, f"{tyre}/clearing")
    clock.shift(OLD)

    page = mechanic.refused(f"{tyre}/clearing", **fields, **WORK, pin="9999")
    assert page.find(id="work").get_text().strip() == WORK["work"]
    assert not entries(of_operator, "clear")

    assert mechanic.submit(f"{tyre}/clearing", **fields, **WORK, pin="7306").status_code == 303


def test_who_found_it_and_clears_it_is_told_before_and_afterwards(mechanic, of_mechanic):
    address = f"/defects/L07/{find(of_mechanic, seat={})[0]}"
    fields = form_of(mechanic, f"{address}/clearing")

    assert "You found this yourself." in text(mechanic.page(f"{address}/clearing"))

    mechanic.submit(f"{address}/clearing", **fields, **WORK)
    assert "Found and cleared by the same person." in text(mechanic.page(address))


def test_two_people_are_not_called_one(mechanic, tyre):
    assert "You found this yourself" not in text(mechanic.page(f"{tyre}/clearing"))

    mechanic.submit(f"{tyre}/clearing", **form_of(mechanic, f"{tyre}/clearing"), **WORK)

    assert "same person" not in text(mechanic.page(tyre))


def test_a_second_look_is_asked_for_where_the_site_wants_it(mechanic, tyre, db):
    settings.put(db, "second_look", "on", 0)
    db.commit()

    assert "second look" in text(mechanic.page(f"{tyre}/clearing"))

    mechanic.submit(f"{tyre}/clearing", **form_of(mechanic, f"{tyre}/clearing"), **WORK)
    assert "A second look is asked for" in text(mechanic.page(tyre))


def test_no_second_look_is_asked_for_otherwise(mechanic, tyre):
    mechanic.submit(f"{tyre}/clearing", **form_of(mechanic, f"{tyre}/clearing"), **WORK)

    assert "second look" not in text(mechanic.page(tyre))


def test_who_is_no_mechanic_clears_nothing(operator, supervisor, tyre, of_operator):
    for client in (operator, supervisor):
        answer = client.submit(
            f"{tyre}/clearing", entry=str(uuid.uuid4()), defect=tyre[-36:], **WORK
        )
        assert answer.status_code == 403

    assert not entries(of_operator, "clear")


def test_before_work_the_cautions_are_said(mechanic, tyre):
    page = text(mechanic.page(f"{tyre}/clearing"))

    assert "A tag does not isolate energy." in page
    assert "isolate, lock and prove dead by the site's procedure" in page
    assert "The maker's manual and the site's rules come first" in page
