"""When a flight ends: stopped, level again with a decision said, impact, or out of time.

Level and decided counts 30 s after levelling off, and without a decision 3 min are the longest.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.builders import book, exercise, modes, row
from trainer.flight import ending
from trainer.flight.acts import Fact
from trainer.flight.ending import Ending
from trainer.flight.moments import Evaluator
from trainer.flight.row import Row

LEVEL: dict[str, Any] = {"modes": modes(vertical="ALT"), "phase": "decision"}
CLIMBING: dict[str, Any] = {
    "modes": modes(vertical="GA"), "phase": "climb-out", "vertical_speed_fpm": 2000.0,
}  # fmt: skip
WORDS = {"decision": ("hold", "again", "divert")}


def ended(rows: Iterator[Row], decided: int | None = None) -> tuple[int, str]:
    """The step and reason of the end; "again" is said at the step `decided`."""
    watched = Ending(missed_altitude_ft=4000.0)
    evaluator = Evaluator(exercise(), book(WORDS))
    for one in rows:
        facts = [Fact(one.step, "said", "", "again")] if one.step == decided else []
        evaluator.observe(one, facts)
        reason = watched.reason(one, evaluator)
        if reason:
            return one.step, reason
    return -1, ""


def after(climb: int, length: int, **level: Any) -> Iterator[Row]:
    """Rows of a climb of `climb` steps, then level."""
    for step in range(length):
        yield row(step, **(CLIMBING if step < climb else {**LEVEL, **level}))


def test_a_stop_on_the_runway_ends_it_at_once() -> None:
    rows = (row(step, phase="rollout" if step < 7 else "stopped") for step in range(20))
    assert ended(rows) == (7, ending.STOPPED)


@pytest.mark.parametrize("phase", ["climb-out", "decision", "discontinued"])
def test_level_with_the_decision_said_ends_it_after_thirty_seconds(phase: str) -> None:
    assert ended(after(100, 2500, phase=phase), decided=150) == (400, ending.LEVEL)


def test_a_decision_said_on_the_way_up_counts_as_well() -> None:
    assert ended(after(100, 2500), decided=50) == (400, ending.LEVEL)


def test_a_decision_said_later_ends_it_as_soon_as_it_is_said() -> None:
    assert ended(after(100, 2500), decided=1500) == (1500, ending.LEVEL)


def test_three_minutes_after_level_off_without_a_decision_it_is_given_up() -> None:
    assert ended(after(100, 2500)) == (1900, ending.UNDECIDED)
    assert ended(after(100, 2500), decided=1899) == (1899, ending.LEVEL)


def test_nobody_is_level_in_a_climb_nor_before_the_approach_is_given_up() -> None:
    assert ended(after(100, 2500, vertical_speed_fpm=250.0), decided=150) == (-1, "")
    assert ended(after(100, 2500, phase="final"), decided=150) == (-1, "")


def test_forty_five_minutes_are_the_longest() -> None:
    rows = (row(step) for step in range(26_990, 27_010))
    assert ended(rows) == (27_000, ending.OUT_OF_TIME)


def test_a_climb_that_nobody_levels_off_is_given_up_two_thousand_feet_above_its_altitude() -> None:
    rows = (row(step, **CLIMBING, altitude_ft=3000.0 + 100.0 * step) for step in range(99))
    assert ended(rows) == (31, ending.CLIMBED_AWAY)


def test_a_strike_ends_it_whatever_else_is_so() -> None:
    watched = Ending(missed_altitude_ft=4000.0)
    watched.strike(ending.HARD)
    evaluator = Evaluator(exercise(), book(WORDS))
    assert watched.reason(row(0, phase="stopped"), evaluator) == ending.HARD


def test_everything_but_the_two_good_ends_is_told_as_abandoned() -> None:
    others = (
        ending.UNDECIDED, ending.OFF_RUNWAY, ending.GEAR_UP, ending.HARD, ending.CLIMBED_AWAY,
        ending.OUT_OF_TIME,
    )  # fmt: skip
    assert all(one.startswith("abandoned: ") for one in others)
    assert not any(one.startswith("abandoned") for one in (ending.STOPPED, ending.LEVEL))
