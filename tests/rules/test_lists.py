"""All versions of a site's checklists, and what they say together."""

from dataclasses import replace

import pytest

from tests import books, make
from walkaround.rules.lists import Lists, Version

OLD = books.changed(seat={"critical": True})
LATE = Version(books.changed(version="3" * 64), since=make.at(20))
ALL = Lists([*books.LISTS.versions, Version(OLD, 0, until=make.at(5)), LATE])


def named(name: str):
    return next(one for one in books.CHECKLISTS if one.name == name)


def test_a_version_is_found_also_when_it_is_no_longer_in_force():
    assert ALL.find("loader-start", make.VERSION) == books.START
    assert ALL.find("loader-start", "2" * 64) == OLD
    assert ALL.find("loader-start", "9" * 64) is None
    assert ALL.find("any-start", make.VERSION) is None


@pytest.mark.parametrize(("minutes", "had"), [(19.99, False), (20, True), (21, True)])
def test_the_site_has_had_a_version_from_when_it_came_in_force(minutes, had):
    assert (ALL.find("loader-start", "3" * 64, by=make.at(minutes)) is not None) is had


@pytest.mark.parametrize(("minutes", "in_force"), [(-1, True), (4.99, True), (5, False)])
def test_a_version_is_in_force_until_before_its_end(minutes, in_force):
    version = Version(OLD, make.at(-1), until=make.at(5))

    assert version.in_force(make.at(minutes)) is in_force
    assert not version.in_force(make.at(-1.01))


@pytest.mark.parametrize(
    ("name", "item", "machine", "critical"),
    [
        ("loader-start", "seat", "dozer", True),
        ("loader-start", "horn", "wheel loader", False),
        ("other", "seat", "wheel loader", False),
        (None, "seat", "wheel loader", True),
        (None, "seat", "Wheel  Loader", True),
        (None, "seat", "dozer", False),
        (None, None, "wheel loader", False),
    ],
)
def test_what_any_version_calls_critical_is_so(name, item, machine, critical):
    assert ALL.critical(name, item, [machine]) is critical


def test_a_report_is_critical_by_the_generic_list_too_and_by_what_the_unit_once_was():
    strict = books.changed("any-start", leaks={"critical": True})
    lists = Lists([*ALL.versions, Version(strict, 0)])

    assert lists.critical(None, "leaks", ["dozer"])
    assert lists.critical(None, "seat", ["dozer", "wheel loader"])


@pytest.mark.parametrize(
    ("name", "machine", "suits"),
    [
        ("loader-start", "wheel loader", True),
        ("loader-start", "dozer", False),
        ("loader-end", "wheel loader", False),
        ("any-start", "wheel loader", False),
        ("any-start", "dozer", True),
    ],
)
def test_a_list_suits_a_machine(name, machine, suits):
    assert books.LISTS.suits(named(name), machine, make.DAWN) is suits


def test_the_generic_list_suits_until_the_machine_has_one_of_its_own():
    own = Version(replace(books.START, name="dozer-start", machine="dozer"), since=make.at(20))
    lists = Lists([*books.LISTS.versions, own])

    assert lists.suits(named("any-start"), "dozer", make.at(19))
    assert not lists.suits(named("any-start"), "dozer", make.at(20))


def test_a_list_that_nobody_knows_may_be_for_the_start():
    assert [books.LISTS.is_start(n) for n in ("loader-start", "loader-end", "x")] == [
        True,
        False,
        True,
    ]
