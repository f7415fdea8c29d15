"""What a phone keeps of the site, where a phone that took it for more would be too bold."""

import shutil
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests import make
from tests.client import Client
from tests.door import MILAN, OLGA, Door
from tests.people import some_keys
from walkaround.actions.set_person import set_person
from walkaround.actions.set_site import set_site
from walkaround.actions.set_unit import set_unit
from walkaround.actions.take_checklists import take_checklists
from walkaround.rules import instant


def heard(client: Client, unit: str = "L07") -> Any:
    units = client.get("/api/v1/kept").json["units"]
    return next(one for one in units if one["number"] == unit)


def defer(door: Door, defect: str, minutes: int, hours: float | None = None) -> None:
    body = {"defects": [defect], "restrictions": "slowly", "until": instant.text(make.at(minutes))}
    door.send("defer", {**body, "until_hours": hours}, MILAN, minutes=20)


@pytest.fixture
def critical_horn(db: Session, tmp_path: Path) -> None:
    """The list for the end of the shift calls the horn critical; that for the start does not."""
    folder = shutil.copytree(make.LISTS, tmp_path / "lists")
    words = (folder / "loader-end.yaml").read_text()
    item = "      - {item: horn, critical: true, look: Horn, good: Heard}\n"
    (folder / "loader-end.yaml").write_text(words + item)
    take_checklists(db, folder, make.at(1))


@pytest.mark.parametrize(
    "change",
    [
        lambda db: set_unit(db, "L07", make.at(40), biodiesel_limit=7.0),
        lambda db: set_site(db, {"second_look": "on"}, make.at(40)),
        lambda db: set_site(db, {"offline_limit": "2"}, make.at(40)),
    ],
)
def test_what_a_phone_judges_by_is_told_when_it_changes(operator: Client, db, change):
    tag = {"If-None-Match": operator.get("/api/v1/kept").headers["ETag"]}
    assert operator.get("/api/v1/kept", headers=tag).status_code == 304

    change(db)

    assert operator.get("/api/v1/kept", headers=tag).status_code == 200


def test_a_line_holds_until_the_first_of_its_deferrals_is_over(operator: Client, door: Door):
    first, second = (door.send("defect", {"what": "w", "item": "seat"}).id for _ in range(2))
    defer(door, first, 60, hours=90.0)
    defer(door, second, 120, hours=88.0)

    (line,) = heard(operator)["lines"]

    assert (line["until"], line["until_hours"]) == (make.at(60), 88.0)
    assert sorted(line["bases"]) == sorted([first, second])


def test_what_is_said_to_be_no_worse_holds_nothing_by_itself(operator: Client, door: Door):
    base = door.send("defect", {"what": "w", "item": "seat"}).id
    defer(door, base, 60)
    door.send("walkaround", no_worse("seat", base))

    (line,) = heard(operator)["lines"]

    assert line["deferred"]
    assert len(line["defects"]) == 2
    assert line["bases"] == [base]


def test_nothing_is_no_worse_than_what_another_list_calls_critical(
    operator: Client, door: Door, critical_horn: None
):
    base = door.walk(horn="defect")
    defer(door, base.defects[0], 60)

    (line,) = heard(operator)["lines"]

    assert line["bases"] == []


def test_a_look_at_ones_own_repair_is_marked(operator: Client, mechanic: Client, door: Door):
    set_site(door.db, {"second_look": "on"}, make.DAWN)
    found = door.walk(tyre="defect").defects
    clear = door.send(
        "clear", {"defects": list(found), "outcome": "repaired", "work": "w"}, MILAN, minutes=25
    )

    (own,), (other,) = heard(mechanic)["looks"], heard(operator)["looks"]

    assert (own["clear"], own["at"]) == (clear.id, make.at(25))
    assert (own["mine"], other["mine"]) == (True, False)


def test_nobody_is_signed_in_for_longer_than_they_stay(operator: Client, db):
    set_person(db, some_keys(), make.CREW[OLGA][0], make.at(40), until=make.at(90))

    signed_in = operator.get("/api/v1/kept").json["signed_in"]

    assert signed_in["until"] == make.at(90)


def no_worse(item: str, base: str) -> dict[str, Any]:
    body = make.walkaround()
    answers = [one for one in body["answers"] if one["item"] != item]
    return {**body, "answers": [*answers, make.answer(item, "no_worse", than=[base])]}
