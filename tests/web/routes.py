"""Every address with something real behind it, for tests that walk all of them."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from flask import Flask
from sqlalchemy.orm import Session

from tests import make, pictures
from tests.web.conftest import Program
from walkaround.actions.add_phone import add_phone
from walkaround.actions.enrol_phone import enrol_phone
from walkaround.rules import instant
from walkaround.store import labels, refused
from walkaround.store.photos import name_of
from walkaround.web import assets

PHOTO = name_of(pictures.jpeg())


class Address(NamedTuple):
    """One method of one route."""

    endpoint: str
    method: str
    path: str

    @property
    def name(self) -> str:
        """Return what the table of rights calls it."""
        return f"{self.method} {self.endpoint}"


def addresses(app: Flask, filled: dict[str, str] | None = None) -> Iterator[Address]:
    """Yield every route and method; what stands in angle brackets is filled in."""
    known = {"version": assets.digest(), "name": "icon.svg", "picture": "app-192.png"}
    known |= filled or {}
    for rule in app.url_map.iter_rules():
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"}):
            mine = {**known, "id": known.get(f"id of {rule.endpoint}", known.get("id", "x"))}
            path = re.sub(
                r"<(?:[^<>:]+:)?(\w+)>", lambda m, mine=mine: mine.get(m[1], "x"), rule.rule
            )
            yield Address(rule.endpoint, method, path)


def much(db: Session, operator: Program, mechanic: Program, supervisor: Program) -> dict[str, str]:
    """Make something of each kind on L07 and return what its addresses are filled with."""
    operator.call("PUT", f"/photos/{PHOTO}", data=pictures.jpeg())
    walk = make.entry("walkaround", make.walkaround(seat="defect", tyre="defect"))
    walk["body"]["answers"][0]["photos"] = [PHOTO]
    tyre, seat = sorted(
        operator.enter(walk)[0]["defects"],
        key=lambda id: {d["defects"][0]: d["item"] for d in open_lines(operator)}[id],
        reverse=True,
    )
    until = instant.text(make.at(600))
    defer = make.entry("defer", {"defects": [seat], "restrictions": "Slowly", "until": until})
    hold, lay_up = (make.entry(kind, {"reason": "Brakes"}) for kind in ("hold", "lay_up"))
    strange, early = make.entry("wish", {}), make.entry("hours", {"value": 90}, minutes=60)
    mechanic.enter(defer)
    supervisor.enter(hold, lay_up, strange, early)
    (refusal,) = refused.every(db)
    named = {f"id of refused.{page}": refusal.id for page in ("entering", "note")}
    db.rollback()
    phone, _ = enrol_phone(db, add_phone(db, "Spare", make.DAWN), make.DAWN)
    token = labels.make(db, "L07", make.DAWN)
    db.commit()
    return {
        "number": "L07",
        "unit": "L07",
        "id": seat,
        "id of walkarounds.show": walk["id"],
        "id of holds.release": hold["id"],
        "id of holds.return_": lay_up["id"],
        "id of phones.shutting_out": phone,
        "deferral": defer["id"],
        "about": strange["id"],
        "crew_number": "201",
        "sha256": PHOTO,
        "token": token,
        "code": "no-code",
        "tyre": tyre,
        "unconfirmed": early["id"],
        "shell": "unit",
        "checklist": walk["body"]["checklist"],
        "edition": walk["body"]["version"],
        **named,
    }


def open_lines(program: Program) -> list[dict]:
    """Return what stands open on L07."""
    return list(program.read("/units/L07")["open_defects"])
