import pytest
from flask import Blueprint, render_template_string
from wtforms import StringField
from wtforms.validators import InputRequired

from walkaround.store import pins
from walkaround.web.guards import may
from walkaround.web.proof import ProofForm

PAGE = """<title>Work</title><h1>Work</h1><form method="post">{{ form.csrf_token }}
{{ form.words.label }}{{ form.words }}{% include "parts/proof.html" %}</form>"""
OLD = 5 * 60  # seconds: SEC-12 of the requirements, "older than 5 minutes"


class WorkForm(ProofForm):
    words = StringField("Words", [InputRequired("Words are needed.")])


@pytest.fixture(autouse=True)
def page(app):
    work = Blueprint("work", __name__)

    @work.route("/work", methods=["GET", "POST"])
    @may("mechanic")
    def new():
        form = WorkForm()
        if form.validate_on_submit():
            return f"done: {form.words.data}"
        return render_template_string(PAGE, form=form), 422 if form.is_submitted() else 200

    app.register_blueprint(work)


def test_right_after_the_sign_in_no_pin_is_asked_for(mechanic):
    assert not mechanic.page("/work").find(id="pin")

    assert mechanic.submit("/work", words="hinge").text == "done: hinge"


def test_after_five_minutes_the_pin_is_asked_for(mechanic, clock):
    clock.shift(OLD)

    assert mechanic.page("/work").find(id="pin")["type"] == "password"


def test_without_the_pin_nothing_is_done_and_everything_typed_stays(mechanic, clock):
    clock.shift(OLD)

    page = mechanic.refused("/work", words="hinge")

    assert "Give your PIN" in page.find(id="pin-error").text
    assert page.find(id="words")["value"] == "hinge"


def test_a_wrong_pin_does_nothing_and_is_never_shown_again(mechanic, clock):
    clock.shift(OLD)

    page = mechanic.refused("/work", words="hinge", pin="9999")

    assert "not your PIN" in page.find(id="pin-error").text
    assert not page.find(id="pin").get("value")


def test_the_right_pin_signs_and_counts_for_the_next_five_minutes(mechanic, clock):
    clock.shift(OLD)

    assert mechanic.submit("/work", words="hinge", pin="7306").text == "done: hinge"

    clock.shift(OLD - 1)
    assert mechanic.submit("/work", words="seat").text == "done: seat"


def test_the_pin_is_of_the_one_signed_in_and_of_nobody_else(mechanic, clock):
    clock.shift(OLD)

    mechanic.refused("/work", words="hinge", pin="9152")  # the supervisor's


def test_a_right_pin_stays_good_where_something_else_is_missing(mechanic, clock):
    clock.shift(OLD)

    page = mechanic.refused("/work", words="", pin="7306")

    assert page.find(id="pin") is None
    assert mechanic.submit("/work", words="hinge").status_code == 200


def test_guessing_is_slowed_as_at_the_sign_in(mechanic, clock):
    clock.shift(OLD)
    for guess in range(1000, 1012):
        mechanic.refused("/work", words="hinge", pin=str(guess))

    mechanic.refused("/work", words="hinge", pin="7306")


def test_a_busy_server_asks_to_try_again_and_keeps_everything(mechanic, clock, monkeypatch):
    clock.shift(OLD)

    def busy():
        raise pins.TooBusy

    monkeypatch.setattr(pins, "turn", busy)

    page = mechanic.refused("/work", words="hinge", pin="7306")

    assert "Too many tries" in page.find(id="pin-error").text


def test_the_cookie_of_before_the_proof_opens_nothing(mechanic, clock):
    clock.shift(OLD)
    before = mechanic.get_cookie("walkaround-session").value
    mechanic.submit("/work", words="hinge", pin="7306")

    mechanic.set_cookie("walkaround-session", before)

    assert mechanic.get("/work").status_code == 303
