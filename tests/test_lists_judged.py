"""Whatever is answered on a shipped list, the verdict says what follows, and why."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import books, make
from tests.books import entry
from tests.test_checklists import FILES, shipped
from walkaround.rules import instant
from walkaround.rules.checklist import Item
from walkaround.rules.lists import Lists, Version


def answers(item: Item) -> st.SearchStrategy[dict[str, Any]]:
    """Return the answers that a page takes for an item, numbers in and outside its limits."""
    if item.measure is None:
        words = st.sampled_from(item.answers())
        return words.map(lambda word: {"item": item.name, "answer": word})
    low, high = item.measure.low or 0, item.measure.high or 100
    values = st.sampled_from([low - 1, low, (low + high) / 2, high, high + 1])
    return values.map(lambda value: {"item": item.name, "value": value})


def fails(item: Item, answer: dict[str, Any]) -> bool:
    """Say by hand whether an answer is a defect (design, section 3)."""
    if item.measure:
        low, high = item.measure.low, item.measure.high
        value = answer["value"]
        return (low is not None and value < low) or (high is not None and value > high)
    return answer["answer"] == "defect"


@pytest.mark.parametrize("name", FILES)
@given(data=st.data())
@settings(max_examples=15, deadline=None)
def test_any_answers_give_a_verdict_with_its_reasons(name: str, data: st.DataObject) -> None:
    checklist = shipped(name)
    given_ = [data.draw(answers(item)) for item in checklist.items]
    bad = {i.name for i, a in zip(checklist.items, given_, strict=True) if fails(i, a)}
    unseen = {a["item"] for a in given_ if a.get("answer") == "could_not_check"}

    found = judged(checklist, given_)

    assert {r.item for r in found.reasons if r.code == "defect"} == bad
    if bad:
        assert found.state == "tagged_out"
    elif checklist.occasion != "start_of_shift":
        assert [r.code for r in found.reasons] == ["not_walked"]
    else:
        assert [r.code for r in found.reasons] == (["cut_short"] if unseen else [])
        assert found.may_run is not bool(unseen)


def judged(checklist: Any, given_: list[dict[str, Any]]) -> Any:
    """Return the verdict ten minutes after a walk with these answers."""
    body = {
        "checklist": checklist.name,
        "version": checklist.version,
        "started_at": instant.text(make.at(5)),
        "finished_at": instant.text(make.at(20)),
        "answers": given_,
    }
    lists, machine = Lists([Version(checklist, 0)]), checklist.machine
    if machine == "any":
        machine = "roller"  # which has no list of its own
    return books.judge([entry("walkaround", body, 20)], 30, lists=lists, machine=machine)
