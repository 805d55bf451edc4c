"""Points are a sum that can be redone by hand, and the outcome is passed or repeat.

Passed: an end was reached, no critical watch, every failed gate answered in its window, points
enough. A safe go-around is never a reason for repeat.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.builders import modes, move, say
from tests.judge.fold import fold
from tests.judge.rules.test_gates import STABLE
from tests.judge.unstable import CALL, FAST, GATE, GEAR, NOW, SPOILERS, UNSTABLE, flown
from trainer.flight.acts import Fact
from trainer.judge.verdicts import UNFINISHED
from trainer.scenario.exercise import Act, Item, Watch
from trainer.scenario.moments import Compare, Figure, Happened


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


def test_a_gate_that_was_met_needs_no_answer() -> None:
    judgement = fold(
        400, {0: STABLE, 150: {"height_ft": 1000.0}}, [move(20, "spoilers", "armed")], [NOW],
        gates=(GATE,), items=(SPOILERS,),
    )  # fmt: skip
    assert (judgement.gates[0].result, judgement.outcome) == ("passed", "passed")


@pytest.mark.parametrize(
    ("control", "opened_at", "answered_at", "outcome"),
    [
        ("go-around", 150, 251, "passed"),
        ("go-around", 150, 252, "repeat"),
        ("go-around", 160, 251, "repeat"),  # asked for by something else
        ("spoilers", 150, 251, "repeat"),
    ],
)
def test_the_window_of_a_gate_lasts_as_long_as_the_go_around_that_it_asks_for(
    control: str, opened_at: int, answered_at: int, outcome: str
) -> None:
    # Due 10 s after its opening.
    asked = Item(
        "asked", Act("do", control), opens=Happened("event", "asked"), due=10.0, weight=0.1
    )
    facts = [NOW, Fact(opened_at - 1, "event", "asked")]
    judgement = fold(
        400, {**UNSTABLE, answered_at: {"phase": "go-around"}}, [move(20, "gear", "down")], facts,
        "level after the missed approach", gates=(GATE,), items=(GEAR,), go_around=(asked,),
    )  # fmt: skip
    assert judgement.gates[0].result == "failed"
    assert judgement.outcome == outcome
    if outcome == "repeat":
        assert judgement.reason == "the stable gate was not met and the go-around came late"


def test_a_go_around_that_never_falls_due_keeps_no_gate_open() -> None:
    never = Happened("event", "never")
    asked = Item("asked", Act("do", "go-around"), opens=Happened("event", "asked"), due=never)
    judgement = fold(
        400, {**UNSTABLE, 300: {"phase": "go-around"}}, [move(20, "gear", "down")],
        [NOW, Fact(149, "event", "asked")], "level after the missed approach",
        gates=(GATE,), items=(GEAR,), go_around=(asked,),
    )  # fmt: skip
    assert judgement.outcome == "repeat"


@pytest.mark.parametrize(("weight", "outcome"), [(4.0, "passed"), (3.9, "repeat")])
def test_eighty_points_are_enough(weight: float, outcome: str) -> None:
    # Gear on time and a call of weight 1 missed: 100 · 4 / 5 is 80.
    judgement = fold(
        400, {}, [move(20, "gear", "down")], [NOW], items=(replace(GEAR, weight=weight), CALL)
    )
    assert judgement.outcome == outcome
    if outcome == "repeat":
        assert judgement.reason == "79.6 points, 80 are needed"


def test_what_was_shown_is_told_with_what_was_said_while_it_was() -> None:
    changes: dict[int, dict[str, Any]] = {
        20: {"modes": modes(lateral="LOC", vertical_armed=("GLIDE",))},
        60: {"modes": modes(lateral="LOC", vertical="GLIDE", capability="LAND")},
    }
    deeds = [say(19, "first"), say(20, "second"), say(59, "third"), say(60, "last")]
    shown = fold(100, changes, deeds).modes
    assert [
        (one.step, one.lateral, one.vertical, one.vertical_armed, one.said) for one in shown
    ] == [
        (0, "NAV", "ALT", "", "first"),
        (20, "LOC", "ALT", "GLIDE", "second; third"),
        (60, "LOC", "GLIDE", "", "last"),
    ]
    assert [one.said for one in fold(100, changes).modes] == [None, None, None]


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


@pytest.mark.parametrize(
    ("reason", "told"),
    [("", UNFINISHED), ("abandoned: 45 minutes flown", "abandoned: 45 minutes flown")],
)
def test_a_flight_without_an_end_is_a_repeat(reason: str, told: str) -> None:
    judgement = fold(400, {}, [move(20, "gear", "down")], [NOW], reason, items=(GEAR,))
    assert (judgement.outcome, judgement.reason) == ("repeat", told)


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
