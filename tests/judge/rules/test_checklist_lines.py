"""Checklist lines: each is answered for itself, and a false answer can be taken back.

A line confirmed against the state is wrong. Reading the list again, once it is so, puts the
line right and earns half; the thing coming true by itself does not.
"""

from __future__ import annotations

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
