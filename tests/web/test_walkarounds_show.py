"""A finished walk: what followed from it, and how it reads later."""

import io
import uuid

from sqlalchemy.orm import Session

from tests import make, pictures
from tests.client import Client
from tests.web.walking import NEW, answers_of, filled, walk
from walkaround.actions.enter import Sender, enter
from walkaround.rules import instant
from walkaround.store.photos import name_of


def sent(data: bytes) -> tuple[io.BytesIO, str]:
    return io.BytesIO(data), "tyre.jpg"


def test_a_walk_far_quicker_than_its_list_takes_is_marked(operator: Client):
    page = operator.page(walk(operator).headers["Location"])

    assert "Far quicker than this list takes" in page.text


def test_a_walk_that_took_its_time_is_not_marked(operator: Client, clock):
    fields = filled(operator)
    clock.shift(120)

    page = operator.page(operator.submit(NEW, **fields).headers["Location"])

    assert "Far quicker" not in page.text
    assert "today 06:30 to 06:32, 2 min" in page.text


def test_an_older_walk_shows_its_answers_and_how_the_unit_stands_now(operator: Client, clock):
    first = walk(operator, {"note:seat": "getting thin"}).headers["Location"]
    clock.shift(60)
    walk(operator, {"answer:tyre": "defect"})

    page = operator.page(first)

    assert page.h1.text == "Small loader list"
    assert "This is an older walk." in page.text
    assert page.select_one(".plate--tagged_out")
    assert "getting thin" in page.text
    assert "340 kPa" in page.select_one("details").text


def test_a_photo_travels_with_its_defect(operator: Client, db: Session):
    given = {"answer:tyre": "defect", "photo:tyre": sent(pictures.jpeg())}

    answer = walk(operator, given)

    name = name_of(pictures.jpeg())
    assert answers_of(db, answer)["tyre"]["photos"] == [name]
    page = operator.page(answer.headers["Location"])
    assert page.select(f'img[src^="/photos/{name}"]')


def test_a_photo_is_kept_while_the_form_comes_back(operator: Client, db: Session):
    given = {"answer:tyre": "defect", "photo:tyre": sent(pictures.jpeg())}
    fields = filled(operator, {**given, "answer:seat": None})

    page = operator.refused(NEW, **fields)

    kept = page.select_one('[name="photos:tyre"]')["value"]
    fields.pop("photo:tyre")
    again = {**fields, "answer:seat": "in_order", "photos:tyre": kept}
    assert answers_of(db, operator.submit(NEW, **again))["tyre"]["photos"] == [kept]


def test_what_is_no_photo_is_named_and_the_rest_is_kept(operator: Client):
    given = {"answer:tyre": "defect", "photo:tyre": sent(b"\xff\xd8\xffno")}

    page = operator.refused(NEW, **filled(operator, {**given, "note:tyre": "cut"}))

    assert "This is no photo that can be used" in page.select_one(".errors").text
    assert page.find("textarea", attrs={"name": "note:tyre"}).text == "cut"


def test_a_photo_that_is_made_up_is_left_out(operator: Client, db: Session):
    given = {"answer:tyre": "defect", "photos:tyre": ["0" * 64, "../x"]}

    assert "photos" not in answers_of(db, walk(operator, given))["tyre"]


def test_a_walk_whose_list_nobody_knows_still_shows_its_answers(operator: Client, db: Session):
    body = make.walkaround(more={"version": "f" * 64})
    made = enter(db, make.entry("walkaround", body), Sender("101", True), make.at(10))

    page = operator.page(f"/units/L07/walkarounds/{made.id}")

    assert "Unconfirmed: what is bad in it counts, what is good does not." in page.text
    assert "340" in page.select_one("details").text


def test_a_walk_for_the_next_shift_says_from_when_it_counts(operator: Client, clock):
    clock.move_to(make.at(440) / 1000)  # 13:20

    page = operator.page(walk(operator).headers["Location"])

    assert page.h1.text == "Not checked"
    assert "This walk counts for the shift that starts today 14:00." in page.text


def test_the_present_shift_can_be_chosen_near_its_end(operator: Client, clock):
    clock.move_to(make.at(440) / 1000)

    chosen = walk(operator, {"for_shift": str(make.DAWN)})

    assert operator.page(chosen.headers["Location"]).h1.text == "OK to run"


def test_only_a_walk_of_this_unit_is_shown(operator: Client):
    id = walk(operator).headers["Location"].rpartition("/")[2]

    operator.page(f"/units/D02/walkarounds/{id}", 404)
    operator.page(f"/units/L07/walkarounds/{uuid.uuid4()}", 404)
    operator.page("/units/L07/walkarounds/x", 404)


def test_a_report_is_no_walk(operator: Client, db: Session):
    made = enter(db, make.entry("defect", {"what": "x"}), Sender("101", True), make.at(10))

    operator.page(f"/units/L07/walkarounds/{made.id}", 404)


def test_nobody_signed_out_sees_a_walk(client: Client, operator: Client):
    assert client.get(walk(operator).headers["Location"]).status_code == 303


def test_spanish_answers_are_read_in_spanish(operator: Client):
    page = operator.page(walk(operator).headers["Location"], lang="es")

    assert "Lista corta de cargadora" in page.text
    assert instant.text(make.at(30)) not in page.text
