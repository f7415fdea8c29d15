"""The site that tests start from, on any database."""

from sqlalchemy import Engine

from tests import make
from tests.people import some_keys
from walkaround.actions.add_person import add_person
from walkaround.actions.add_unit import add_unit
from walkaround.actions.open_site import open_site
from walkaround.actions.take_checklists import take_checklists
from walkaround.store import schema
from walkaround.store.db import make_session


def open_up(engine: Engine) -> None:
    """Make the site in an empty database: L07 (wheel loader), D02 (dozer), three people."""
    schema.upgrade(engine)
    with make_session(engine) as db:
        open_site(db, make.SITE, "Europe/Madrid", "06:00,14:00,22:00", make.DAWN)
        take_checklists(db, make.LISTS, make.DAWN)
        for name, (number, role, pin) in make.CREW.items():
            add_person(db, some_keys(), number, name, [role], pin, make.DAWN)
        add_unit(db, "L07", "wheel loader", make.DAWN, hours=84)
        add_unit(db, "D02", "dozer", make.DAWN)
