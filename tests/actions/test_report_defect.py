import json
import uuid

import pytest
from sqlalchemy.orm import Session

from tests import make
from walkaround.actions.make_entry import NotEntered, Signer
from walkaround.actions.report_defect import Report, report_defect
from walkaround.store import entries, standings, units


def reported(db: Session, **more: object) -> str:
    signer = Signer("101", None, str(uuid.uuid4()))
    report = Report(**{"unit": "L07", "what": "Bucket cracked", **more})
    return report_defect(db, report, signer, make.at(60)).id


def test_a_report_tags_the_unit_out(db: Session):
    reported(db)

    unit = units.find(db, "L07")
    assert standings.of(db, unit, make.at(61)).verdict.state == "tagged_out"


def test_only_what_was_said_stands_in_its_body(db: Session):
    body = json.loads(entries.find(db, reported(db)).body)

    assert body == {"what": "Bucket cracked"}


def test_item_findings_and_danger_are_kept(db: Session):
    id = reported(db, item="tyre", findings=("cut",), critical=True)

    body = json.loads(entries.find(db, id).body)
    assert (body["item"], body["findings"], body["critical"]) == ("tyre", ["cut"], True)


def test_an_unknown_unit_is_refused(db: Session):
    with pytest.raises(NotEntered, match="no unit X99"):
        reported(db, unit="X99")
