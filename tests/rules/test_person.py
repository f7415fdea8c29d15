import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkaround.rules import person
from walkaround.rules.person import MAY, ROLES, may, may_correct, roles_at

# Written out by hand from the contract ("Who may"), and not made from the table under test.
EVERYBODY = {"walkaround", "defect", "hours", "fill", "confirm", "correction"}
BY_ROLE = {
    "operator": EVERYBODY,
    "mechanic": EVERYBODY | {"clear", "defer", "service"},
    "supervisor": EVERYBODY
    | {"hold", "release", "lay_up", "return", "meter_change", "settle", "service"},
}


@pytest.mark.parametrize("role", ROLES)
def test_each_role_makes_its_kinds_and_no_others(role):
    kinds = {*MAY, "doubt", "label", "anything"}

    allowed = {kind for kind in kinds if may([role], kind)}

    assert allowed == BY_ROLE[role]


@given(st.sets(st.sampled_from(ROLES)), st.sampled_from([*MAY, "doubt", "label"]))
def test_several_roles_may_what_any_of_them_may(roles, kind):
    separately = any(may([role], kind) for role in roles)

    together = may(roles, kind)

    assert together == (separately or kind in EVERYBODY)


def test_nobody_makes_the_servers_own_kinds():
    assert not may(ROLES, "doubt")
    assert not may(ROLES, "label")


@pytest.mark.parametrize(
    ("roles", "author", "allowed"),
    [(["operator"], "101", True), (["mechanic"], "102", False), (["supervisor"], "102", True)],
)
def test_people_correct_their_own_and_supervisors_any(roles, author, allowed):
    assert may_correct(roles, "101", author) is allowed


HISTORY = [(200, ["mechanic"]), (100, ["operator"]), (300, ["mechanic", "supervisor"])]


@pytest.mark.parametrize(
    ("instant", "roles"),
    [
        (-5, ("operator",)),
        (99, ("operator",)),
        (199, ("operator",)),
        (200, ("mechanic",)),
        (299, ("mechanic",)),
        (10**15, ("mechanic", "supervisor")),
    ],
)
def test_the_first_roles_hold_from_the_beginning_and_later_ones_from_their_instant(instant, roles):
    assert roles_at(HISTORY, instant) == roles


def test_nobody_has_no_roles():
    assert roles_at([], 5) == ()


@pytest.mark.parametrize("number", ["101", " 101 ", "A7", "0", "x" * 16])
def test_crew_numbers_are_digits_and_letters(number):
    assert person.proper_crew_number(number) == number.strip()


@pytest.mark.parametrize("number", ["", " ", "x" * 17, "10 1", "1-1", "é", "१०१", "1\n2", "1\x00"])
def test_other_crew_numbers_are_refused(number):
    with pytest.raises(person.BadCrewNumber, match="1 to 16 digits and letters"):
        person.proper_crew_number(number)


def test_names_lose_control_marks_and_spare_space():
    name = person.proper_name("  Jose\u0301 \u202egnp\x00\t Vela\n")

    assert name == "José gnp Vela"


@pytest.mark.parametrize("name", ["", "  ", "\u200f\x07", "x" * 81])
def test_a_name_is_needed_and_is_not_endless(name):
    with pytest.raises(person.BadName, match="at most 80"):
        person.proper_name(name)


def test_roles_stand_once_each_in_the_usual_order():
    roles = person.proper_roles(["supervisor", "operator", "supervisor"])

    assert roles == ("operator", "supervisor")


def test_a_person_without_a_role_is_refused():
    with pytest.raises(person.NoRole):
        person.proper_roles([])


def test_an_unknown_role_is_named():
    with pytest.raises(person.UnknownRole, match="foreman is no role"):
        person.proper_roles(["operator", "foreman"])
