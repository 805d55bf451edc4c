"""Checklist lines: each is answered for itself, and a false answer can be taken back.

A line confirmed against the state is wrong. Reading the list again, once it is so, puts the
line right and earns half; the thing coming true by itself does not.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.judge.small import NOW, Deed, judge, line, only
from trainer.flight.acts import Act, Fact
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Item
from trainer.scenario.moments import Happened, Shows


def test_two_lines_answered_in_one_step_are_two_lines() -> None:
    deeds = [
        (Act(40, 1, "pilot", "line", "landing", name), Fact(40, "line", "landing", name))
        for name in ("gear", "flap")
    ]
    judgement = judge([line("gear"), line("flap")], 200, deeds, extra=[NOW])
    assert [item.verdict for item in judgement.items] == ["on time", "on time"]


def gear_line() -> Item:
    """The line "gear", true once the gear is down."""
    state = Shows("config", "gear", ("down",))
    act = Expected("line", checklist="landing", challenge="gear", states=(state,))
    return Item("landing: gear", act, opens=Happened("event", "now"), due=10.0, closes=25.0)


def confirmed(step: int) -> Deed:
    return Act(step, 1, "pilot", "line", "landing", "gear"), Fact(step, "line", "landing", "gear")


DOWN = {60: {"gear": 1.0, "gear_lever": "down"}}


def test_a_line_that_is_so_is_on_time() -> None:
    verdict = only(judge([gear_line()], 300, [confirmed(80)], DOWN, extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("on time", 1.0)


@pytest.mark.parametrize(
    ("again", "credit"),
    [((), 0.0), ((120,), 0.5), ((50,), 0.0)],
    ids=["never", "once it is so", "while it still is not"],
)
def test_only_reading_it_again_once_it_is_so_takes_it_back(
    again: tuple[int, ...], credit: float
) -> None:
    deeds = [confirmed(40), *(confirmed(step) for step in again)]
    verdict = only(judge([gear_line()], 300, deeds, DOWN, extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("wrong", credit)
    assert verdict.is_corrected == (credit > 0.0)


# Which item an act of the list belongs to --------------------------------------------------------


def begun(step: int, name: str = "landing") -> Deed:
    return Act(step, 1, "pilot", "checklist", name), Fact(step, "checklist", name)


def taken_up(name: str = "landing", **changes: Any) -> Item:
    """The taking up of a list: from step 20 on, due 10 s later."""
    act = Expected("checklist", checklist=name)
    return Item(f"{name} checklist", act, opens=Happened("event", "now"), due=10.0, **changes)


def test_a_list_is_taken_up_by_its_own_name_and_answers_no_line_of_it() -> None:
    items = [line("gear"), taken_up("approach"), taken_up()]
    found = judge(items, 400, [begun(40)], extra=[NOW])
    assert {one.item: one.verdict for one in found.items} == {
        "landing: gear": "missed",
        "landing checklist": "on time",
        "approach checklist": "missed",
    }
    assert found.unmatched == ()


@pytest.mark.parametrize(
    ("early", "verdict"), [("fine", "on time"), ("harmful", "early"), ("forbidden", "early")]
)
def test_a_list_taken_up_before_its_time_is_early_where_that_matters(
    early: str, verdict: str
) -> None:
    found = judge([taken_up(early=early)], 400, [begun(5), begun(9)], extra=[NOW])
    assert only(found).verdict == verdict
    if verdict == "early":
        assert only(found).began_at == 5, "the first time is told"


def test_a_list_that_nothing_asks_for_is_listed() -> None:
    found = judge([taken_up()], 400, [begun(40), begun(60)], extra=[NOW])
    assert only(found).verdict == "on time"
    assert found.unmatched == ("landing checklist begun",)


def test_a_line_is_that_of_its_list() -> None:
    other = replace(line("gear"), name="approach: gear")
    other = replace(other, act=replace(other.act, checklist="approach"))
    found = judge([other, line("flap"), line("gear")], 400, [confirmed(40)], extra=[NOW])
    assert {one.item: one.verdict for one in found.items} == {
        "approach: gear": "missed",
        "landing: flap": "missed",
        "landing: gear": "on time",
    }


def test_a_line_that_is_void_or_answered_is_only_listed() -> None:
    void = replace(line("gear"), void=Happened("event", "now"))
    found = judge([void], 400, [confirmed(40)], extra=[NOW])
    assert (only(found).verdict, found.unmatched) == ("not reached", ("checklist line",))
    twice = judge([line("gear")], 400, [confirmed(40), confirmed(60)], extra=[NOW])
    assert (only(twice).done, twice.unmatched) == (40, ("checklist line",))


@pytest.mark.parametrize(("name", "challenge"), [("landing", "flap"), ("approach", "gear")])
def test_reading_another_line_again_takes_nothing_back(name: str, challenge: str) -> None:
    other = Act(120, 1, "pilot", "line", name, challenge), Fact(120, "line", name, challenge)
    found = judge([gear_line()], 400, [confirmed(40), other], DOWN, extra=[NOW])
    assert (only(found).verdict, only(found).is_corrected) == ("wrong", False)


def test_of_two_later_readings_the_first_takes_it_back() -> None:
    found = judge([gear_line()], 400, [confirmed(at) for at in (40, 80, 120)], DOWN, extra=[NOW])
    assert only(found).corrected == 80
