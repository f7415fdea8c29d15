"""People: their numbers, their roles, and which entries each role may make."""

import re
import unicodedata
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from walkaround.rules.refusal import N_, Refusal

OPERATOR, MECHANIC, SUPERVISOR = "operator", "mechanic", "supervisor"
ROLES = (OPERATOR, MECHANIC, SUPERVISOR)

NAME_LENGTH = 80

_ONLY_MECHANIC = frozenset({MECHANIC})
_ONLY_SUPERVISOR = frozenset({SUPERVISOR})

# None: everybody signed in. A kind that is not here is nobody's, the server's own kinds too.
MAY: Mapping[str, frozenset[str] | None] = {
    "walkaround": None,
    "defect": None,
    "hours": None,
    "fill": None,
    "confirm": None,
    "correction": None,
    "clear": _ONLY_MECHANIC,
    "defer": _ONLY_MECHANIC,
    "hold": _ONLY_SUPERVISOR,
    "release": _ONLY_SUPERVISOR,
    "lay_up": _ONLY_SUPERVISOR,
    "return": _ONLY_SUPERVISOR,
    "meter_change": _ONLY_SUPERVISOR,
    "settle": _ONLY_SUPERVISOR,
    "service": frozenset({MECHANIC, SUPERVISOR}),
}

_CREW_NUMBER = re.compile(r"[0-9A-Za-z]{1,16}")


@dataclass(frozen=True)
class Person:
    """Somebody of the site, as of one instant."""

    crew_number: str
    name: str
    roles: tuple[str, ...]
    active: bool
    language: str | None = None


class UnknownPerson(Refusal):
    sentence = N_("Nobody here has the crew number %(crew_number)s.")


class PersonLeft(Refusal):
    sentence = N_("The person with the crew number %(crew_number)s has left.")


class CrewNumberTaken(Refusal):
    sentence = N_(
        "The crew number %(crew_number)s is taken. A number is never given to somebody else, "
        "not even after its person has left: choose another one."
    )


class BadCrewNumber(Refusal):
    sentence = N_("A crew number is 1 to 16 digits and letters without accents, like 101.")


class BadName(Refusal):
    sentence = N_("A name is needed, of at most %(most)s characters.")


class NoRole(Refusal):
    sentence = N_("At least one role is needed: operator, mechanic or supervisor.")


class UnknownRole(Refusal):
    sentence = N_("%(role)s is no role. The roles are operator, mechanic and supervisor.")


def may(roles: Collection[str], kind: str) -> bool:
    """Say whether somebody with these roles may make entries of this kind."""
    if kind not in MAY:
        return False
    allowed = MAY[kind]
    return allowed is None or not allowed.isdisjoint(roles)


def may_correct(roles: Collection[str], crew_number: str, author: str) -> bool:
    """Say whether somebody may correct an entry: their own, or any as a supervisor."""
    return crew_number == author or SUPERVISOR in roles


def roles_at(history: Sequence[tuple[int, Sequence[str]]], instant: int) -> tuple[str, ...]:
    """Return the roles in force at an instant; the first ones hold from the beginning."""
    standing: tuple[str, ...] = ()
    for place, (since, roles) in enumerate(sorted(history, key=lambda change: change[0])):
        if place == 0 or since <= instant:
            standing = tuple(roles)
    return standing


def is_crew_number(text: str) -> bool:
    """Say whether a text could be a crew number."""
    return _CREW_NUMBER.fullmatch(text) is not None


def proper_crew_number(text: str) -> str:
    """Return a crew number as it is kept; raise BadCrewNumber."""
    number = text.strip()
    if not is_crew_number(number):
        raise BadCrewNumber
    return number


def proper_name(text: str) -> str:
    """Return a name as it is kept, in NFC and without control marks; raise BadName."""
    seen = "".join(" " if mark.isspace() else mark for mark in unicodedata.normalize("NFC", text))
    # Categories Cc, Cf, Cs: control and bidirectional marks, which could reverse what pages show.
    name = " ".join("".join(m for m in seen if unicodedata.category(m)[0] != "C").split())
    if not name or len(name) > NAME_LENGTH:
        raise BadName(most=NAME_LENGTH)
    return name


def proper_roles(roles: Iterable[str]) -> tuple[str, ...]:
    """Return roles once each, in the usual order; raise NoRole or UnknownRole."""
    given = set(roles)
    for role in sorted(given.difference(ROLES)):
        raise UnknownRole(role=role)
    if not given:
        raise NoRole
    return tuple(role for role in ROLES if role in given)
