"""Verdicts: six, and each is told by when and what, never by how often.

An act between opening and due is on time, between due and closing late; before opening it is
early where that does harm; another value is wrong; still undone at closing is missed; and what
never fell due is not reached and does not count.
"""

from __future__ import annotations

from tests.builders import move
from tests.judge.small import (
    NOW,
    call,
    gear,
    judge,
    only,
)
from trainer.scenario.moments import Compare, Figure, Happened, Shows


def test_an_act_inside_its_window_is_on_time() -> None:
    verdict = only(judge([gear()], 200, [move(40, "gear", "down")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("on time", 1.0)
    assert (verdict.opened, verdict.due, verdict.closed, verdict.done) == (20, 70, 120, 40)


def test_nothing_done_is_missed_and_only_after_the_window() -> None:
    assert only(judge([gear()], 200, extra=[NOW])).verdict == "missed"
    assert only(judge([gear()], 60, extra=[NOW])).verdict == "not reached"


def test_what_never_opens_is_not_reached_and_has_no_credit() -> None:
    verdict = only(judge([gear()], 200))
    assert (verdict.verdict, verdict.credit) == ("not reached", None)


def test_a_void_moment_takes_an_item_away_before_it_is_due() -> None:
    item = gear(void=Shows("phase", "", ("minimums",)))
    judgement = judge([item], 200, changes={50: {"phase": "minimums"}}, extra=[NOW])
    assert only(judgement).verdict == "not reached"


def test_a_recurring_state_counts_each_time_it_comes_about_and_anew_once_missed() -> None:
    item = call(
        "checked", each=Compare("speed", "below", Figure(200.0)), opens=Happened("event", "never")
    )
    speeds = {0: {"cas_kt": 210.0}, 20: {"cas_kt": 190.0}, 60: {"cas_kt": 210.0}}
    again = {**speeds, 80: {"cas_kt": 190.0}}
    assert [one.item for one in judge([item], 150, changes=again).items] == [
        "checked 1",
        "checked 2",
    ]
    # It lasts, and the window has closed 10 s after it came about again: it is asked for anew.
    assert [one.item for one in judge([item], 200, changes=again).items][2:] == ["checked 3"]
