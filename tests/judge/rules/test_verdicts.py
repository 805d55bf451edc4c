"""Verdicts: six, and each is told by when and what, never by how often.

An act between opening and due is on time, between due and closing late; before opening it is
early where that does harm; another value is wrong; still undone at closing is missed; and what
never fell due is not reached and does not count.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.builders import modes, move, say
from tests.judge.small import NOW, Deed, call, gear, judge, only, speed, turn
from trainer.scenario.exercise import Item
from trainer.scenario.moments import Compare, Figure, Happened, Shows


def test_an_act_inside_its_window_is_on_time() -> None:
    verdict = only(judge([gear()], 200, [move(40, "gear", "down")], extra=[NOW]))
    assert (verdict.verdict, verdict.credit) == ("on time", 1.0)
    assert (verdict.opened, verdict.due, verdict.closed, verdict.done) == (20, 70, 120, 40)


def test_nothing_done_is_missed_once_it_was_due() -> None:
    verdict = only(judge([gear()], 200, extra=[NOW]))
    assert (verdict.verdict, verdict.found) == ("missed", "nothing")
    # Due at step 70: a flight that ends there has asked for nothing yet.
    for length, expected in ((70, "not reached"), (71, "missed")):
        assert only(judge([gear()], length, extra=[NOW])).verdict == expected
    # Due when something happens that does not, it is missed when it closes and not before.
    item = gear(due=Happened("event", "never"))
    assert only(judge([item], 110, extra=[NOW])).verdict == "not reached"
    closed = only(judge([item], 200, extra=[NOW]))
    assert (closed.verdict, closed.due, closed.began_at) == ("missed", None, 120)


@pytest.mark.parametrize(("length", "closed"), [(119, None), (120, 120)])
def test_a_closing_is_told_where_the_flight_has_come_to_it(length: int, closed: int | None) -> None:
    assert only(judge([gear()], length, extra=[NOW])).closed == closed


MILES: dict[int, dict[str, Any]] = {30: {"distance_nm": 9.0}, 65: {"distance_nm": 8.0}}


@pytest.mark.parametrize(
    ("item", "deeds", "told"),
    [
        # verdict, when it was done, where, when the deviation began, when it was put right
        (gear(), [move(40, "gear", "down")], ("on time", 40, 9.0, None, None)),
        (gear(), [move(80, "gear", "down")], ("late", 80, 8.0, 70, None)),
        (gear(), [], ("missed", None, None, 70, None)),
        (gear(early="harmful"), [move(10, "gear", "down")], ("early", 10, 12.0, 10, None)),
        (speed(), [turn(30, "170")], ("wrong", 30, 9.0, 30, None)),
        (speed(), [turn(30, "170"), turn(65, "160")], ("wrong", 30, 9.0, 30, 65)),
    ],
    ids=lambda one: one[0] if isinstance(one, tuple) else "",
)
def test_a_verdict_tells_when_and_where(
    item: Item, deeds: list[Deed], told: tuple[object, ...]
) -> None:
    one = only(judge([item], 200, deeds, MILES, extra=[NOW]))
    assert (one.verdict, one.done, one.distance_nm, one.began_at, one.corrected) == told
    assert one.is_corrected == (one.corrected is not None)
    assert one.weight == item.weight


def test_a_false_call_is_put_right_by_saying_it_when_it_is_so() -> None:
    item = call("autopilot off")
    off = {60: {"modes": modes(engagement="FD")}}
    deeds = [say(30, "autopilot off"), say(65, "autopilot off")]
    one = only(judge([item], 200, deeds, off, extra=[NOW]))
    assert (one.verdict, one.began_at, one.corrected) == ("wrong", 30, 65)


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
