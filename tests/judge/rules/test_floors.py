"""Floors: nobody is late faster than a hand or a voice can be.

At the earliest 3 s after opening for hands, 5 s for speech, 6 s where due is a moment; and
closing is never before due.
"""

from __future__ import annotations

from tests.builders import move, say
from tests.judge.small import NOW, call, gear, judge, only
from trainer.scenario.moments import Compare, Figure


def test_nobody_is_late_before_three_seconds_of_hands() -> None:
    item = gear(due=1.0, closes=None)
    assert only(judge([item], 100, [move(50, "gear", "down")], extra=[NOW])).verdict == "on time"
    assert only(judge([item], 100, [move(51, "gear", "down")], extra=[NOW])).verdict == "late"


def test_nobody_is_late_before_five_seconds_of_speech() -> None:
    # Opened at 2.0 s: a due of 1 s counts as one of 5 s, until 7.0 s.
    item = call("gear down", due=1.0, closes=None)
    down = {0: {"gear_lever": "down"}}
    assert only(judge([item], 120, [say(70, "gear down")], down, [NOW])).verdict == "on time"
    assert only(judge([item], 120, [say(71, "gear down")], down, [NOW])).verdict == "late"


def test_a_due_moment_that_had_come_leaves_six_seconds() -> None:
    item = gear(due=Compare("distance", "below", Figure(13.0)), closes=None)
    verdict = only(judge([item], 300, [move(80, "gear", "down")], extra=[NOW]))
    assert (verdict.due, verdict.verdict) == (80, "on time")
