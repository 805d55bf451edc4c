"""The window an item really gets: due and closing from its opening, and when a good crew acts.

Without a closing an item closes as long after due as due was after opening, at least 5 s; closing
is never before due. What waited for a clearance that came last has 12 s, and closes after 25 s.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.builders import book, exercise, move, row
from tests.judge.small import NOW, call, gear, judge, only
from trainer.flight.acts import Fact
from trainer.flight.moments import Evaluator
from trainer.judge.tracks import Track, track_of
from trainer.scenario.exercise import Item
from trainer.scenario.moments import AllOf, Compare, Figure, Happened, Moment

BELOW_11 = Compare("distance", "below", Figure(11.0))


def opened(item: Item, at: int = 20) -> tuple[Track, Evaluator]:
    """A track of `item` that opens at step `at`."""
    evaluator = Evaluator(exercise(), book())
    track = track_of(item, 0, evaluator)
    evaluator.observe(row(at), ())
    track.open_at(at)
    return track, evaluator


@pytest.mark.parametrize(
    ("due", "closes", "window"),
    [
        (5.0, None, (70, 120)),
        (4.0, None, (60, 110)),  # at least 5 s behind due
        (12.0, None, (140, 260)),
        (5.0, 10.0, (70, 120)),
        (5.0, 2.0, (70, 70)),  # never before due
    ],
)
def test_due_and_closing_count_from_opening(
    due: float, closes: float | None, window: tuple[int, int]
) -> None:
    track, _ = opened(gear(due=due, closes=closes))
    assert (track.due, track.closes) == window


@pytest.mark.parametrize(("step", "verdict"), [(120, "late"), (121, "missed")])
def test_what_is_done_as_the_window_closes_is_in_it(step: int, verdict: str) -> None:
    # Opens at step 20, closes at step 120.
    assert only(judge([gear()], 300, [move(step, "gear", "down")], extra=[NOW])).verdict == verdict


@pytest.mark.parametrize(("item", "floor"), [
    (gear(due=1.0), 30), (call("gear down", due=1.0), 50), (gear(due=BELOW_11), 60),
])  # fmt: skip
def test_nobody_is_late_before_a_hand_a_voice_or_a_thought(item: Item, floor: int) -> None:
    assert opened(item)[0].floor == floor


@pytest.mark.parametrize(("comes_at", "due"), [(70, 80), (80, 80), (90, 90)])
def test_a_due_moment_leaves_six_seconds_after_opening(comes_at: int, due: int) -> None:
    item = gear(due=BELOW_11, closes=None)
    judgement = judge([item], 400, changes={comes_at: {"distance_nm": 10.9}}, extra=[NOW])
    assert only(judgement).due == due


@pytest.mark.parametrize(("comes_at", "closed"), [(10, 70), (40, 70), (50, 70), (90, 90)])
def test_a_closing_moment_leaves_the_floor_and_the_due(comes_at: int, closed: int) -> None:
    item = gear(due=5.0, closes=BELOW_11)
    judgement = judge([item], 400, changes={comes_at: {"distance_nm": 10.9}}, extra=[NOW])
    assert only(judgement).closed == closed


def test_a_closing_that_comes_before_any_due_leaves_the_floor() -> None:
    item = gear(due=Happened("event", "never"), closes=BELOW_11)
    judgement = judge([item], 400, changes={40: {"distance_nm": 10.9}}, extra=[NOW])
    assert (only(judgement).due, only(judgement).closed) == (None, 80)


def test_an_item_waits_until_it_opens_unless_it_is_void() -> None:
    waiting, void = (track_of(gear(), 0, Evaluator(exercise(), book())) for _ in range(2))
    void.is_void = True
    every = (waiting, void, opened(gear())[0])
    assert [one.is_waiting for one in every] == [True, False, False]


# What waited for a clearance ---------------------------------------------------------------------

CLEARED = Fact(19, "granted", "approach", "cleared")
APPROACH = Happened("granted", "approach")


def told(opens: Moment, facts: list[Fact], **changes: Any) -> tuple[int | None, int | None]:
    verdict = only(judge([gear(opens=opens, **changes)], 500, extra=facts))
    return verdict.due, verdict.closed


def test_what_waited_for_a_clearance_has_time_to_hear_it() -> None:
    # Opened at step 20: due after 12 s instead of 5 s, closed after 25 s instead of 10 s.
    assert told(APPROACH, [CLEARED]) == (140, 270)
    assert told(APPROACH, [CLEARED], due=20.0, closes=30.0) == (220, 320)


def test_a_clearance_that_came_before_the_rest_gives_no_time() -> None:
    both = AllOf((APPROACH, Happened("event", "now")))
    assert told(both, [Fact(9, "granted", "approach", "cleared"), NOW]) == (70, 120)
    assert told(both, [Fact(9, "event", "now"), CLEARED]) == (140, 270)


@pytest.mark.parametrize("order", ["go around", "discontinue"])
def test_an_order_is_no_clearance_that_comes_late(order: str) -> None:
    assert told(Happened("granted", order), [Fact(19, "granted", order, "order")]) == (70, 120)


def test_a_clearance_after_the_window_has_closed_leaves_no_room() -> None:
    item = gear(opens=APPROACH, closes=BELOW_11)
    late = judge([item], 500, changes={10: {"distance_nm": 10.9}}, extra=[CLEARED])
    assert only(late).verdict == "not reached"
    in_time = judge([item], 500, changes={21: {"distance_nm": 10.9}}, extra=[CLEARED])
    assert only(in_time).verdict == "missed"


# When a good crew acts ---------------------------------------------------------------------------


@pytest.mark.parametrize(("aim", "acts_at"), [(None, 40), (4.0, 60), (30.0, 70)])
def test_a_good_crew_acts_two_seconds_after_opening_or_as_written_and_when_due_at_the_latest(
    aim: float | None, acts_at: int
) -> None:
    track, _ = opened(gear(aim=aim))
    assert track.due == 70
    assert not track.aim_at(acts_at - 1)
    assert track.aim_at(acts_at)


def test_a_good_crew_acts_when_the_moment_it_aims_at_has_come() -> None:
    track, evaluator = opened(gear(aim=BELOW_11))
    assert not track.aim_at(69)
    evaluator.observe(row(21, distance_nm=10.9), ())
    assert track.aim_at(21)


def test_nobody_aims_at_what_has_not_opened() -> None:
    track = track_of(gear(), 0, Evaluator(exercise(), book()))
    assert not track.aim_at(500)


# Late, while the closing is still to come --------------------------------------------------------


@pytest.mark.parametrize(("comes_at", "credit"), [(270, 0.75), (130, 1.0 / 6.0)])
def test_late_credit_waits_for_its_closing(comes_at: int, credit: float) -> None:
    # Due at step 70 and done at step 120, 5 s late; it closes 20 s or 6 s after due.
    item = gear(closes=BELOW_11)
    deeds = [move(120, "gear", "down")]
    changes: dict[int, dict[str, Any]] = {
        121: {"gear_lever": "down"}, comes_at: {"distance_nm": 10.9}
    }  # fmt: skip
    verdict = only(judge([item], 400, deeds, changes, extra=[NOW]))
    assert (verdict.verdict, verdict.closed) == ("late", comes_at)
    assert verdict.credit == pytest.approx(credit)


def test_a_call_sent_after_the_window_counts_if_it_was_opened_within() -> None:
    assert not track_of(call(), 0, Evaluator(exercise(), book())).takes_call(500), "not yet"
    track, _ = opened(call("gear down", due=5.0, closes=10.0))
    assert track.takes_call(130), "while it is open"
    track.is_missed = True
    assert track.takes_call(120)
    assert not track.takes_call(121)
    track.done = 100
    assert not track.takes_call(120)
