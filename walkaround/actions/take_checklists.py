"""Take in the checklists of a folder: new versions come into force, broken files change nothing."""

from dataclasses import dataclass
from pathlib import Path

from sqlalchemy.orm import Session

from walkaround.rules.checklist import Checklist
from walkaround.store import checklists
from walkaround.store.checklists_yaml import FileError, read_folder
from walkaround.store.db import retried
from walkaround.store.facts import learn_critical


@dataclass(frozen=True, slots=True)
class Taken:
    """The versions that the site had not had before, and every error of every file."""

    new: list[Checklist]
    errors: list[FileError]


@retried
def take_checklists(db: Session, folder: Path, now: int) -> Taken:
    """Bring the site's checklists to what the folder holds; what it cannot read stays in force."""
    found = read_folder(folder)
    if not found.documents and not found.broken:
        return Taken([], found.errors)  # an empty folder is a lost disk, not a wish for no lists
    keys = set(checklists.sync(db, found.documents, now, broken=found.broken))
    made = [read.checklist for read in found.documents]
    new = [checklist for checklist in made if (checklist.name, checklist.version) in keys]
    learn_critical(db, new)
    db.commit()
    return Taken(new, found.errors)
