"""Make a code that enrols one browser."""

import uuid

from sqlalchemy.orm import Session

from walkaround.rules.person import proper_name
from walkaround.store import phones, secrets
from walkaround.store.db import retried, site_of
from walkaround.store.models.people import PhoneRow

CODE_BITS = 128


@retried
def add_phone(db: Session, name: str | None, now: int, *, id: str | None = None) -> str:
    """Return the code, good once and for ten minutes. A phone without a name gets a number."""
    code = secrets.make(CODE_BITS)
    db.add(
        PhoneRow(
            site=site_of(db),
            id=id or str(uuid.uuid4()),
            name=proper_name(name) if name else str(phones.count(db) + 1),
            created_at=now,
            code_hash=secrets.fingerprint(code),
            code_expires_at=now + phones.CODE_LASTS,
        )
    )
    db.commit()
    return code
