"""Change a setting of the site, from now on."""

from collections.abc import Callable

from sqlalchemy.orm import Session

from walkaround.rules.quantity import is_unit
from walkaround.rules.refusal import N_, Refusal
from walkaround.rules.shift import Roster
from walkaround.store import settings
from walkaround.store.db import retried


class BadSetting(Refusal):
    sentence = N_("%(why)s")


# Each setting, and what a value of it looks like.
SETTINGS: dict[str, tuple[str, Callable[[str], bool]]] = {
    "zone": ("a time zone, like Europe/Madrid", lambda value: bool(value)),
    "shifts": ("times, like 06:00,14:00,22:00", lambda value: bool(value)),
    "early": ("minutes, 0 to 720", lambda value: value.isdecimal() and int(value) <= 720),
    "language": ("en or es", lambda value: value in ("en", "es")),
    "second_look": ("on or off", lambda value: value in ("on", "off")),
    "offline_limit": ("hours, 0 to 168", lambda value: value.isdecimal() and int(value) <= 168),
    "defer_days": ("days, 1 to 365", lambda value: value.isdecimal() and 1 <= int(value) <= 365),
    "call": ("whom a passer-by calls, at most 120 letters", lambda value: len(value) <= 120),
    "label_hides": ("on or off", lambda value: value in ("on", "off")),
    "pressure": ("kPa, bar or psi", lambda value: is_unit("pressure", value)),
    "length": ("mm or 1/32 in", lambda value: is_unit("length", value)),
    "temperature": ("°C or °F", lambda value: is_unit("temperature", value)),
}


@retried
def set_site(db: Session, changes: dict[str, str], now: int) -> None:
    """Let new values hold from now on; raise BadSetting, and change nothing if one is wrong."""
    for name, value in changes.items():
        shape, fits = SETTINGS[name]
        if not fits(value):
            raise BadSetting(why=f"{name.replace('_', '-')} {value!r}: this must be {shape}.")
    zone = changes.get("zone") or settings.value(db, "zone") or ""
    shifts = changes.get("shifts") or settings.value(db, "shifts") or ""
    Roster.of([(0, zone, shifts)])
    for name, value in changes.items():
        settings.put(db, name, value, now)
    db.commit()
