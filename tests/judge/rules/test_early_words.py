"""Words and lists before they are due: fine unless the flow says otherwise, never if untrue."""

from __future__ import annotations

import pytest

from tests.builders import MODES, say
from tests.judge.small import NOW, Deed, call, judge, only
from trainer.flight.acts import Act, Fact
from trainer.scenario.exercise import Act as Expected
from trainer.scenario.exercise import Item


def taken_up(step: int) -> Deed:
    act = Act(step, 1, "pilot", "checklist", "landing")
    return act, Fact(step, "checklist", "landing")


def list_item(early: str = "fine") -> Item:
    return call("landing list", early=early, act=Expected("checklist", checklist="landing"))


@pytest.mark.parametrize(("early", "verdict"), [("fine", "on time"), ("harmful", "early")])
def test_an_early_call_counts_unless_the_flow_says_that_it_harms(early: str, verdict: str) -> None:
    found = only(judge([call("minimums", early=early)], 200, [say(5, "minimums")], extra=[NOW]))
    assert found.verdict == verdict


def test_an_early_call_that_is_not_so_is_wrong_even_where_early_is_fine() -> None:
    item = call("distance check")
    found = only(judge([item], 200, [say(5, "DME 4 altitude 3000")], extra=[NOW]))
    assert found.verdict == "wrong"
    assert "distance 4 was said, 12 is right" in found.found


def test_a_mode_that_is_not_shown_is_a_false_reading_and_not_an_early_one() -> None:
    item = call("path captured", early="harmful")
    found = only(judge([item], 200, [say(5, "path captured")], extra=[NOW]))
    assert found.verdict == "missed"


@pytest.mark.parametrize(("early", "verdict"), [("fine", "on time"), ("harmful", "early")])
def test_an_early_list_counts_unless_the_flow_says_that_it_harms(early: str, verdict: str) -> None:
    deeds = [taken_up(5), taken_up(9)]
    assert only(judge([list_item(early)], 200, deeds, extra=[NOW])).verdict == verdict


def test_a_list_that_is_read_twice_and_a_line_of_none_are_listed_and_cost_nothing() -> None:
    line = (Act(60, 1, "pilot", "line", "landing", "gear"), Fact(60, "line", "landing", "gear"))
    found = judge([list_item()], 200, [taken_up(30), taken_up(50), line], extra=[NOW])
    assert only(found).verdict == "on time"
    assert found.points == 100.0
    assert found.unmatched == ("landing checklist begun", "checklist line")


def test_the_contrary_of_an_open_call_makes_it_wrong() -> None:
    # On the ground with the spoilers in: "spoilers" is said where "no spoilers" is due.
    down = {0: {"is_on_ground": True, "spoilers": "disarmed", "modes": MODES}}
    words = {"no spoilers": ("no spoilers",), "spoilers": ("spoilers",)}
    item = call("no spoilers")
    found = only(judge([item], 200, [say(30, "spoilers")], down, extra=[NOW], words=words))
    assert found.verdict == "wrong"
    assert "the aircraft showed otherwise" in found.found
    found = only(judge([item], 200, [say(30, "no spoilers")], down, extra=[NOW], words=words))
    assert found.verdict == "on time"
