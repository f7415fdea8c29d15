"""The shipped lists against published rules: the tables are in tests/coverage, a file a machine.

They name items by hand and are never derived from the lists' `refs`.
"""

import importlib
import re

import pytest

from tests.coverage.rules import ALL, APPLIES, RULES
from tests.test_checklists import FILES, of_item, shipped
from walkaround.rules.checklist import Item

END_OF_DAY = {"49 CFR 396.11(a)(1)"}  # every other rule is about the time before the work
ROWS = [
    (machine, rule, clause)
    for machine, rules in APPLIES.items()
    for rule in rules
    for clause in RULES[rule]
]


def table(machine: str) -> dict[str, dict[str, tuple[str, ...] | str]]:
    """Return what was written by hand about a machine."""
    module = importlib.import_module(f"tests.coverage.{machine.replace(' ', '_')}")
    return module.COVERED


def listed(machine: str, rule: str) -> dict[str, Item]:
    """Return the items of the list that the rule is about."""
    occasion = "end" if rule in END_OF_DAY else "start"
    return {item.name: item for item in shipped(f"{machine.replace(' ', '-')}-{occasion}").items}


@pytest.mark.parametrize("machine", APPLIES)
def test_every_rule_of_a_machine_stands_in_its_table_and_no_other(machine: str) -> None:
    written = table(machine)

    assert sorted(written) == sorted(APPLIES[machine])
    for rule in written:
        assert sorted(written[rule]) == sorted(RULES[rule]), rule


@pytest.mark.parametrize(("machine", "rule", "clause"), ROWS)
def test_the_list_covers_the_clause(machine: str, rule: str, clause: str) -> None:
    answer, part = table(machine)[rule][clause], RULES[rule][clause]
    if isinstance(answer, str):
        assert len(answer.split()) >= 4, "a reason is a sentence"
        return
    items = [listed(machine, rule)[name] for name in answer]

    said = " ".join(of_item(item, "en") for item in items).lower()
    assert items
    assert re.search(part.speaks, said), (part.asks, said)


# READ: 56.14206(b), buckets are lowered when unattended. MEMORY: 56.14207, parking.
PARKED = {"30 CFR 56.14206(b)", "30 CFR 56.14207"}


def clauses(ref: str) -> set[tuple[str, str]]:
    """Return the rules and clauses that a reference names, or begins to name."""
    named = {
        (rule, clause): {f"{rule}{clause}", f"{rule.split(' 56')[0]} {clause}"}
        for rule in RULES
        for clause in RULES[rule]
    }
    return {key for key, names in named.items() if any(name.startswith(ref) for name in names)}


@pytest.mark.parametrize("name", FILES)
def test_a_ref_names_a_rule_that_applies_to_the_machine(name: str) -> None:
    rules = APPLIES.get(shipped(name).machine, ALL)

    for item in shipped(name).items:
        for ref in set(item.refs) - PARKED:
            assert {rule for rule, _ in clauses(ref)} & set(rules), (item.name, ref)


@pytest.mark.parametrize("machine", APPLIES)
def test_a_ref_before_the_shift_stands_in_the_table_beside_its_item(machine: str) -> None:
    for item in shipped(f"{machine.replace(' ', '-')}-start").items:
        for ref in set(item.refs) - PARKED:
            found = [table(machine).get(rule, {}).get(clause, "") for rule, clause in clauses(ref)]
            named = {name for answer in found if isinstance(answer, tuple) for name in answer}
            assert item.name in named, ref
