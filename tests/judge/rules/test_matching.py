"""Matching: which item an act of hands belongs to.

First the open item of that control and value that is due first; then one that has not opened
yet (early); then an open item of that control (wrong, once it has stood for a second); else it
is listed and costs nothing. A refused act settles nothing.
"""

from __future__ import annotations

from tests.builders import modes, move, press
from tests.judge.small import (
    NOW,
    approach,
    gear,
    judge,
    only,
    speed,
    turn,
)
from trainer.flight.acts import Fact


def test_an_act_goes_to_the_open_item_that_is_due_first() -> None:
    later = gear(name="later", due=9.0)
    judgement = judge([later, gear()], 300, [move(40, "gear", "down")], extra=[NOW])
    assert {item.item: item.verdict for item in judgement.items} == {
        "later": "missed",
        "gear down": "on time",
    }


def test_an_early_press_whose_effect_is_gone_must_be_done_again() -> None:
    armed = {"modes": modes(lateral_armed=("LOC",), vertical_armed=("GLIDE",))}
    deeds = [press(5, "approach mode"), press(40, "approach mode")]
    judgement = judge([approach()], 200, deeds, {41: armed}, extra=[NOW])
    verdict = only(judgement)
    assert (verdict.verdict, verdict.is_corrected) == ("early", True)


def test_an_early_press_that_still_holds_when_it_opens_is_settled() -> None:
    armed = {"modes": modes(lateral_armed=("LOC",), vertical_armed=("GLIDE",))}
    verdict = only(judge([approach()], 200, [press(5, "approach mode")], {6: armed}, extra=[NOW]))
    assert (verdict.verdict, verdict.is_corrected) == ("early", False)


def test_a_press_that_undoes_the_first_settles_nothing() -> None:
    verdict = only(judge([approach()], 300, [press(40, "approach mode")], extra=[NOW]))
    assert verdict.verdict == "missed"


def test_a_wrong_value_that_stands_is_wrong() -> None:
    verdict = only(judge([speed()], 200, [turn(30, "170")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit, verdict.is_corrected) == ("wrong", 0.0, False)


def test_a_refused_act_settles_nothing() -> None:
    act, _ = press(30, "approach mode")
    refused = Fact(30, "refused", "approach mode", reason="no localizer received")
    verdict = only(judge([approach()], 300, [(act, refused)], extra=[NOW]))
    assert verdict.verdict == "missed"


def test_an_unmatched_act_costs_nothing() -> None:
    judgement = judge([gear()], 200, [move(40, "gear", "down"), turn(45, "180")], extra=[NOW])
    assert judgement.points == 100.0
    assert len(judgement.unmatched) == 1
