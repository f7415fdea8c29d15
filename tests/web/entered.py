"""What tests of entries send and look at."""

from typing import Any

from tests import make
from tests.seal import seal
from tests.web.conftest import Program


def signed(
    program: Program, entry: dict, pin: str, *, number: str = "101", sealed_for: str | None = None
) -> dict[str, Any]:
    """Return the entry with a signer and the seal that their PIN makes."""
    jwk = program.read("/me")["seal_key"]
    sealed_pin = seal(jwk, pin, sealed_for or entry["id"])
    return {**entry, "signer": {"crew_number": number, "sealed_pin": sealed_pin}}


def state(program: Program, unit: str = "L07") -> str:
    """Return the state of a unit."""
    return str(program.read(f"/units/{unit}")["verdict"]["state"])


def codes(program: Program, unit: str = "L07") -> list[str]:
    """Return the codes of its reasons."""
    return [reason["code"] for reason in program.read(f"/units/{unit}")["verdict"]["reasons"]]


def last(program: Program, unit: str = "L07") -> dict[str, Any]:
    """Return its last entry."""
    return dict(program.read(f"/units/{unit}/logbook")["entries"][-1])


def clean(**more: Any) -> dict[str, Any]:
    """Return a clean walk-around."""
    return make.entry("walkaround", make.walkaround(), **more)
