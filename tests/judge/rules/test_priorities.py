"""Priorities: what is less urgent waits while something more urgent is open, at most 15 s.

Limits and deviations come first, then gate and minimums, clearances, modes, and the rest. A due
that is a moment is physics and does not wait.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.builders import move, say
from tests.judge.small import NOW, call, gear, judge
from trainer.flight.acts import Fact
from trainer.judge.deviations import URGENCY as DEVIATION
from trainer.judge.tracks import ROUTINE, URGENCY
from trainer.scenario.moments import Compare, Figure, Happened


def dues(urgent_s: float, area: str = "decision") -> dict[str, int | None]:
    """When gear down (due 5 s after opening) is due while a call of `area` is open so long."""
    urgent = call("minimums", area=area, due=60.0, closes=90.0)
    deeds = [say(20 + int(urgent_s * 10), "minimums")]
    judgement = judge([gear(), urgent], 900, deeds, extra=[NOW])
    return {one.item: one.due for one in judgement.items}


def test_the_order_of_urgency() -> None:
    assert DEVIATION < URGENCY["decision"] < URGENCY["clearances"] < URGENCY["modes"] < ROUTINE
    assert URGENCY["communication"] == URGENCY["clearances"]
    assert URGENCY["guidance"] == URGENCY["modes"]


@pytest.mark.parametrize(("open_s", "due"), [(2.0, 91), (4.0, 111)])
def test_due_moves_by_the_time_the_more_urgent_was_open(open_s: float, due: int) -> None:
    # Opened at 2.0 s and due at 7.0 s.
    assert dues(open_s)["gear down"] == due


def test_it_never_moves_by_more_than_fifteen_seconds() -> None:
    assert dues(40.0)["gear down"] == 70 + 150


def test_what_is_no_more_urgent_moves_nothing() -> None:
    assert dues(4.0, area="calls")["gear down"] == 70


def test_a_closing_that_has_come_waits_with_the_due_behind_it() -> None:
    # Closed by its moment at 7.0 s, before it is due at 14.0 s: so not before that. From 10.0 s on
    # something more urgent is open for 7 s.
    item = gear(due=12.0, closes=Compare("distance", "below", Figure(11.0)))
    urgent = call("minimums", area="decision", opens=Happened("event", "later"), due=60.0)
    for step, verdict in ((180, "on time"), (250, "missed")):
        judgement = judge(
            [item, urgent], 400, [say(170, "minimums"), move(step, "gear", "down")],
            {70: {"distance_nm": 10.9}}, [NOW, Fact(100, "event", "later")],
        )  # fmt: skip
        found = judgement.items[0]
        assert (found.verdict, found.due, found.closed) == (verdict, 210, 210)


def test_a_due_moment_does_not_wait() -> None:
    at_ten = gear(due=Compare("distance", "below", Figure(10.0)), closes=None)
    urgent = call("minimums", area="decision", due=60.0, closes=90.0)
    judgement = judge([at_ten, urgent], 400, (), {150: {"distance_nm": 9.9}}, extra=[NOW])
    assert judgement.items[0].due == 150
    fixed = judge([replace(at_ten, closes=30.0), urgent], 400, (), None, extra=[NOW])
    assert fixed.items[0].closed == 320, "nor does its closing"
