import pytest
from flask import Flask
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from walkaround.actions.add_unit import add_unit
from walkaround.rules import instant, verdict
from walkaround.store.models import UnitRow
from walkaround.web import board

TAGGED_OUT, NOT_CHECKED, LAID_UP = verdict.TAGGED_OUT, verdict.NOT_CHECKED, verdict.LAID_UP


@pytest.mark.parametrize(
    ("tagged_out", "not_checked", "runs", "restricted", "laid_up", "said"),
    [
        (3, 2, 9, 0, 0, "3 tagged out, 2 not checked, 9 may run."),
        (0, 0, 0, 0, 0, "There are no units yet."),
        (1, 1, 1, 0, 1, "1 tagged out, 1 not checked, 1 may run, 1 laid up."),
        (0, 1, 4, 2, 0, "0 tagged out, 1 not checked, 6 may run."),
        (2, 0, 480, 17, 3, "2 tagged out, 0 not checked, 497 may run, 3 laid up."),
    ],
)
def test_the_board_begins_with_one_sentence_of_counts(
    app: Flask, tagged_out, not_checked, runs, restricted, laid_up, said
):
    states = [TAGGED_OUT] * tagged_out + [NOT_CHECKED] * not_checked + [LAID_UP] * laid_up
    states += [verdict.OK_TO_RUN] * runs + [verdict.OK_WITH_RESTRICTIONS] * restricted

    with app.test_request_context("/board"):
        assert board.sentence(states) == said


def test_units_nobody_walked_stand_as_not_checked(supervisor: Client):
    page = supervisor.page("/board")

    assert page.h1.text == "0 tagged out, 2 not checked, 0 may run."
    assert "2 units: nobody has walked them since the shift began at 06:00." in page.text
    assert "never walked" in page.text


def test_a_clean_walk_shows_who_when_and_until_when(operator: Client, supervisor: Client):
    send(operator, make.entry("walkaround", make.walkaround()))

    row = row_of(supervisor, "L07")

    assert "walked today 06:10 Olga Operator" in row
    assert "until today 14:00" in row
    assert "84 h" in row


def test_a_tagged_out_unit_shows_all_its_reasons_the_first_as_title(
    operator: Client, supervisor: Client
):
    body = make.walkaround(tyre="defect", seat="defect")
    send(operator, make.entry("walkaround", body))

    page = supervisor.page("/board")

    assert page.h1.text == "1 tagged out, 1 not checked, 0 may run."
    assert page.find(class_="plate--tagged_out")
    row = page.find("a", href="/units/L07").find_parent("li")
    assert row.find(class_="row__title").text == "Tyre"
    assert "Seat" in row.text


def test_a_hold_shows_its_reason_and_hostile_words_stay_words(supervisor: Client):
    send(supervisor, make.entry("hold", {"reason": "<script>alert(1)</script> & Sons"}))

    page = supervisor.page("/board")

    assert "Hold: <script>alert(1)</script> & Sons" in page.text
    assert not [script for script in page.find_all("script") if not script.get("src")]


def test_a_laid_up_unit_is_counted_and_not_missed(supervisor: Client):
    send(supervisor, make.entry("lay_up", {"reason": "waits for a gearbox"}))

    page = supervisor.page("/board")

    assert page.h1.text == "0 tagged out, 1 not checked, 0 may run, 1 laid up."
    assert "1 unit: nobody has walked it since" in page.text


def test_a_walk_far_quicker_than_its_guide_is_marked(operator: Client, supervisor: Client):
    body = make.walkaround()  # the list's guide is 2 minutes
    send(operator, make.entry("walkaround", {**body, "started_at": instant.text(make.at(9.6))}))

    assert "quick: 0 min of 2" in row_of(supervisor, "L07")


def test_doubts_and_refusals_are_counted_with_a_way_to_them(supervisor: Client):
    send(supervisor, make.entry("walkaround", {"answers": "none"}))

    page = supervisor.page("/board")

    assert page.find("a", href="/doubts").text == "1 doubt waits to be settled"
    assert page.find("a", href="/refused").text == "1 entry was refused"


def test_an_unchanged_board_answers_304_until_an_entry_comes_in(
    operator: Client, supervisor: Client
):
    tag = supervisor.get("/board").headers["ETag"]
    again = supervisor.get("/board", headers={"If-None-Match": tag})
    send(operator, make.entry("walkaround", make.walkaround()))
    changed = supervisor.get("/board", headers={"If-None-Match": tag})

    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["ETag"] == tag
    assert changed.status_code == 200
    assert changed.headers["ETag"] != tag


def test_time_alone_changes_the_board(operator: Client, supervisor: Client, clock):
    send(operator, make.entry("walkaround", make.walkaround()))
    tag = supervisor.get("/board").headers["ETag"]

    clock.move_to((make.DAWN + 7.9 * 3_600_000) / 1000)
    before = supervisor.get("/board", headers={"If-None-Match": tag})
    clock.move_to((make.DAWN + 8 * 3_600_000) / 1000)
    supervisor.sign_in("Sara Supervisor")  # the session ended with the shift
    after = supervisor.get("/board", headers={"If-None-Match": tag})

    assert (before.status_code, after.status_code) == (304, 200)


def test_another_language_is_another_page(supervisor: Client):
    tag = supervisor.get("/board").headers["ETag"]

    assert supervisor.get("/board?lang=es", headers={"If-None-Match": tag}).status_code == 200


def test_a_site_without_units_says_so(supervisor: Client, db: Session):
    db.query(UnitRow).delete()
    db.commit()

    page = supervisor.page("/board")

    assert page.h1.text == "There are no units yet."
    assert [link["href"] for link in page.select("main ol a")] == [
        "/fleet/new",
        "/people/new",
        "/phones/new",
        "/labels",
    ]


def test_what_is_to_be_done_first_is_shown_until_somebody_has_walked(
    operator: Client, supervisor: Client
):
    before = supervisor.page("/board").text

    send(operator, make.entry("walkaround", make.walkaround()))

    assert "Before the first walk" in before
    assert "2 units" in before
    assert "3 people" in before
    assert "Before the first walk" not in supervisor.page("/board").text


def test_of_very_many_units_those_with_nothing_to_say_are_numbers(
    operator: Client, supervisor: Client, db: Session
):
    for place in range(board.MANY):
        add_unit(db, f"T{place:02}", "wheel loader", make.DAWN)
    report = make.entry("defect", {"what": "Horn silent"}, unit="T00")
    send(operator, report)
    send(operator, make.entry("walkaround", {**make.walkaround(), "answers": []}))

    page = supervisor.page("/board")

    alone = [link.text for link in page.select(".numbers a")]
    assert alone == ["D02", *[f"T{place:02}" for place in range(1, board.MANY)]]
    assert "Cut short" in row_of(supervisor, "L07")
    assert "Horn silent" in row_of(supervisor, "T00")


def test_the_board_is_the_supervisors(client: Client, operator: Client, mechanic: Client):
    assert client.get("/board").headers["Location"] == "/sign-in?next=/board"
    operator.page("/board", status=403)
    mechanic.page("/board", status=403)


def row_of(client: Client, number: str) -> str:
    link = client.page("/board").find("a", href=f"/units/{number}")
    return link.find_parent("li").get_text(" ", strip=True)


def send(client: Client, entry: dict) -> None:
    answer = client.api(
        "POST", "/entries", json={"sent_at": instant.text(make.at(30)), "entries": [entry]}
    )
    assert answer.status_code == 200, answer.text
