"""Credit: on time one, late less and less, early and corrected a half.

Late credit falls evenly from one at due to nothing at closing; early costs half where it is
harmful and all where it is forbidden; wrong and put right is a half, and put right within 3 s
is no finding.
"""

from __future__ import annotations

import pytest

from tests.builders import move
from tests.judge.small import NOW, gear, judge, only, speed, turn
from trainer.flight.acts import Fact
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Item
from trainer.scenario.moments import Figure, Happened


def test_credit_falls_evenly_from_due_to_closing() -> None:
    # Hand calculation: due 7.0 s, closes 12.0 s; 8.0 s is a fifth of the way.
    verdict = only(judge([gear()], 200, [move(80, "gear", "down")], extra=[NOW]))
    assert verdict.verdict == "late"
    assert verdict.credit == pytest.approx(0.8)


def test_where_the_closing_never_comes_credit_falls_over_thirty_seconds() -> None:
    # Due 7.0 s; 13.0 s is a fifth of the way.
    item = gear(closes=Happened("event", "never"))
    for step, credit in ((130, 0.8), (370, 0.0), (400, 0.0)):
        verdict = only(judge([item], 450, [move(step, "gear", "down")], extra=[NOW]))
        assert verdict.verdict == "late"
        assert verdict.credit == pytest.approx(credit), step


def test_an_early_act_that_is_fine_counts_when_the_item_opens() -> None:
    down = {"gear_lever": "down"}
    verdict = only(judge([gear()], 100, [move(5, "gear", "down")], {6: down}, extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("on time", 1.0)


@pytest.mark.parametrize(("early", "credit"), [("harmful", 0.5), ("forbidden", 0.0)])
def test_an_early_act_costs_what_the_item_says(early: str, credit: float) -> None:
    down = {"gear_lever": "down"}
    item = gear(early=early)
    verdict = only(judge([item], 100, [move(5, "gear", "down")], {6: down}, extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("early", credit)


def test_an_early_lever_put_back_within_three_seconds_is_no_finding() -> None:
    item = gear(early="harmful")
    deeds = [move(0, "gear", "down"), move(15, "gear", "up"), move(40, "gear", "down")]
    assert only(judge([item], 100, deeds, extra=[NOW])).verdict == "on time"


def test_an_early_value_taken_back_within_three_seconds_by_the_right_one_is_no_finding() -> None:
    """Both items are of one selector: what takes the slip back settles the other item."""
    after = Item(
        name="slower", act=Expected("set", "speed", figure=Figure(140.0)), early="harmful",
        opens=Happened("event", "later"), due=5.0, closes=10.0,
    )  # fmt: skip
    for taken_back, verdict in ((60, "on time"), (61, "early")):
        deeds = [turn(30, "140"), turn(taken_back, "160"), turn(110, "140")]
        judgement = judge([speed(), after], 400, deeds, extra=[NOW, Fact(100, "event", "later")])
        found = {one.item: one.verdict for one in judgement.items}
        assert found == {"speed": "on time", "slower": verdict}


def test_a_wrong_value_put_right_later_earns_half() -> None:
    verdict = only(judge([speed()], 200, [turn(30, "170"), turn(65, "160")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit, verdict.is_corrected) == ("wrong", 0.5, True)


@pytest.mark.parametrize(("step", "verdict"), [(50, "on time"), (60, "on time"), (61, "wrong")])
def test_a_wrong_value_put_right_within_three_seconds_is_no_finding(
    step: int, verdict: str
) -> None:
    found = only(judge([speed()], 200, [turn(30, "170"), turn(step, "160")], extra=[NOW]))
    assert found.verdict == verdict
