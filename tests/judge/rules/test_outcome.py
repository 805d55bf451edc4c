"""Points are a sum that can be redone by hand, and the outcome is passed or repeat.

Passed: an end was reached, no critical watch, every failed gate answered in its window, points
enough. A safe go-around is never a reason for repeat.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import move
from tests.judge.fold import fold
from tests.judge.unstable import CALL, FAST, GATE, GEAR, NOW, UNSTABLE, flown
from trainer.scenario.exercise import Watch
from trainer.scenario.moments import Compare, Figure


def test_points_are_the_weighted_mean_less_primary_deductions() -> None:
    # Hand calculation: 100 · 3 / (3 + 1) = 75, less 5 for one major watch that nothing explains.
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(
        400, fast, [move(20, "gear", "down")], extra=[NOW], items=(GEAR, CALL), watches=(FAST,)
    )
    assert judgement.points == pytest.approx(70.0)
    assert dict(judgement.areas)["energy"].points == 100.0
    assert dict(judgement.areas)["calls"].points == 0.0


@pytest.mark.parametrize(
    ("severity", "points"),
    [("advisory", 100.0), ("minor", 98.0), ("major", 95.0), ("critical", 90.0)],
)
def test_each_severity_deducts_what_is_published(severity: str, points: float) -> None:
    watch = replace(FAST, severity=severity)
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(
        400, fast, [move(20, "gear", "down")], extra=[NOW], items=(GEAR,), watches=(watch,)
    )
    assert judgement.points == points


@pytest.mark.parametrize(("needed", "outcome"), [(75.0, "passed"), (75.1, "repeat")])
def test_the_points_that_are_asked_for_are_enough(needed: float, outcome: str) -> None:
    # 100 · 3 / (3 + 1) = 75.
    judgement = fold(
        400, {}, [move(20, "gear", "down")], extra=[NOW], items=(GEAR, CALL), pass_points=needed
    )
    assert (judgement.points, judgement.outcome) == (75.0, outcome)


def test_eighty_are_needed_unless_the_exercise_says_otherwise() -> None:
    judgement = fold(400, {}, [move(20, "gear", "down")], extra=[NOW], items=(GEAR, CALL))
    assert judgement.reason == "75.0 points, 80 are needed"


def test_points_never_fall_below_nothing() -> None:
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 210.0}}
    assert fold(200, fast, items=(CALL,), watches=(FAST,), extra=[NOW]).points == 0.0


def test_without_anything_reached_there_are_no_points() -> None:
    judgement = fold(50, {}, items=(GEAR,))
    assert judgement.points is None
    assert judgement.outcome == "repeat"


def test_a_failed_gate_that_is_flown_on_is_a_repeat() -> None:
    judgement = flown(items=())
    assert judgement.outcome == "repeat"
    assert judgement.reason == "the stable gate was not met and the approach was continued"


def test_a_failed_gate_answered_by_a_go_around_is_no_reason_to_repeat() -> None:
    changes = {**UNSTABLE, 200: {"phase": "go-around"}}
    # 5 s after the gate; one call on time keeps the points up.
    judgement = fold(
        400, changes, extra=[NOW], gates=(GATE,), items=(), reason="level after the missed approach"
    )
    assert judgement.reason.endswith("80 are needed")


@pytest.mark.parametrize("phase", ["go-around", "discontinued"])
@pytest.mark.parametrize(("row", "is_answered"), [(231, True), (232, False)])
def test_a_failed_gate_is_answered_within_eight_seconds(
    phase: str, row: int, is_answered: bool
) -> None:
    """The gate is met at row 150; an act at its step 230 shows in row 231."""
    judgement = fold(
        400, {**UNSTABLE, row: {"phase": phase}}, [move(20, "gear", "up")], extra=[NOW],
        gates=(GATE,), items=(CALL,), pass_points=0.0, reason="level after the missed approach",
    )  # fmt: skip
    assert (judgement.outcome == "passed") == is_answered, judgement.reason


@pytest.mark.parametrize("reason", ["", "abandoned: 45 minutes flown"])
def test_a_flight_without_an_end_is_a_repeat(reason: str) -> None:
    judgement = fold(400, {}, [move(20, "gear", "down")], [NOW], reason, items=(GEAR,))
    assert judgement.outcome == "repeat"
    assert "abandoned" in judgement.reason


def test_a_critical_watch_is_a_repeat_whatever_the_points() -> None:
    critical = Watch(
        "below minimums", "never", Compare("speed", "above", Figure(200.0)), severity="critical",
        why="nothing was in sight",
    )  # fmt: skip
    judgement = fold(
        400, {0: {"cas_kt": 210.0}}, [move(20, "gear", "down")], [NOW], items=(GEAR,),
        watches=(critical,),
    )  # fmt: skip
    assert (judgement.outcome, judgement.points) == ("repeat", 90.0)
    assert judgement.reason == "below minimums: nothing was in sight"
