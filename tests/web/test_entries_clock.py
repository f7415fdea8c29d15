"""POST /api/v1/entries: phones whose clocks are wrong."""

import pytest

from tests import make
from tests.web.entered import clean, codes, last
from walkaround.rules import instant
from walkaround.store.models import PhoneRow


@pytest.mark.parametrize(
    ("wrong_by", "skew_ms", "made_by"),
    [
        (119, 119_000, 0),
        (120, 120_000, 120),
        (3 * 3600, 10_800_000, 10_800),
        (-180, -180_000, -180),
    ],
)
def test_a_phone_whose_clock_is_wrong_is_corrected_from_two_minutes_on(
    of_operator, wrong_by, skew_ms, made_by
):
    sent = make.at(30) - wrong_by * 1000
    entry = make.entry("defect", {"what": "Hose weeping"})
    entry["made_at"] = instant.text(make.at(20) - wrong_by * 1000)

    of_operator.call("POST", "/entries", json={"sent_at": instant.text(sent), "entries": [entry]})

    [line] = of_operator.read("/units/L07")["open_defects"]
    corrected = instant.parse(entry["made_at"]) + made_by * 1000
    assert last(of_operator)["skew_ms"] == skew_ms
    assert last(of_operator)["made_at"] == entry["made_at"]
    assert line["since"] == instant.text(corrected)


@pytest.mark.parametrize(
    ("minutes", "body"),
    [
        (36, {}),
        (10, {"started_at": instant.text(make.at(12))}),
    ],
    ids=["made more than five minutes in the future", "finished before started"],
)
def test_a_walk_with_clock_nonsense_covers_nothing(of_operator, minutes, body):
    walk = {**make.walkaround(), **body}

    result = of_operator.enter_one("walkaround", walk, minutes=minutes)

    assert (result["result"], last(of_operator)["signature"]) == ("accepted", "unconfirmed")
    assert codes(of_operator) == ["unconfirmed"]


def test_what_was_made_before_its_phone_was_enrolled_covers_nothing(of_operator, enrolled, db):
    enrolled()
    phone = db.query(PhoneRow).one()
    phone.enrolled_at = make.at(20)
    db.commit()

    of_operator.enter({**clean(), "device": phone.id})

    assert codes(of_operator) == ["unconfirmed"]


@pytest.mark.parametrize("kind", ["walkaround", "defect", "hold"])
@pytest.mark.parametrize("made", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"])
@pytest.mark.parametrize("sent", ["0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z"])
def test_no_clock_is_so_wrong_that_the_units_can_no_longer_be_seen(of_supervisor, kind, made, sent):
    bodies = {"defect": {"what": "Oil"}, "hold": {"reason": "Brakes"}}
    walk = {**make.walkaround(tyre="defect"), "started_at": made, "finished_at": made}
    entry = {**make.entry(kind, bodies.get(kind, {**walk, "for_shift": made})), "made_at": made}

    batch = {"sent_at": sent, "entries": [entry]}
    assert of_supervisor.call("POST", "/entries", json=batch).status_code == 200

    assert of_supervisor.read("/units")["units"][1]["verdict"]["state"] == "tagged_out"
    assert of_supervisor.read("/units/L07", at="2027-01-01T00:00:00Z")["number"] == "L07"
