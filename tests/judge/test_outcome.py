"""What follows from what, points that can be redone by hand, and the outcome."""

from __future__ import annotations

from typing import Any

import pytest

from tests.builders import move
from tests.judge.fold import fold
from tests.judge.test_gates import CRITERIA, STABLE
from trainer.flight.acts import Fact
from trainer.judge.judgement import Judgement
from trainer.scenario.exercise import Act, Gate, Item, Watch
from trainer.scenario.moments import Compare, Figure, Happened

GATE = Gate("stable", 1000.0, CRITERIA, True)
GEAR = Item(
    "gear down", Act("do", "gear", "down"), opens=Happened("event", "now"), due=5.0, closes=10.0,
    weight=3.0, area="energy",
)  # fmt: skip
CALL = Item(
    "minimums", Act("say", intent="minimums"), opens=Happened("event", "now"), due=5.0,
    closes=10.0, weight=1.0, area="calls",
)  # fmt: skip
FAST = Watch(
    "fast", "never", Compare("speed", "above", Figure(200.0)), severity="major", causes=("energy",)
)
NOW = Fact(9, "event", "now")
UNSTABLE: dict[int, dict[str, Any]] = {
    0: {**STABLE, "gear": 0.0, "gear_lever": "up"},
    150: {"height_ft": 1000.0},
}


def flown(**flow: Any) -> Judgement:
    return fold(400, UNSTABLE, extra=[NOW], gates=(GATE,), **flow)


def test_a_gate_failure_follows_from_the_item_that_was_missed() -> None:
    judgement = flown(items=(GEAR, CALL))
    assert judgement.gates[0].because == "gear down"
    assert judgement.primary() == {("gear down", "missed"), ("minimums", "missed")}


def test_a_gate_failure_that_no_item_explains_is_primary() -> None:
    judgement = flown(items=(CALL,))
    assert judgement.gates[0].because is None
    assert ("stable", "gate") in judgement.primary()


def test_a_call_that_was_missed_explains_no_energy() -> None:
    assert flown(items=(CALL,)).gates[0].because is None


SPOILERS = Item(
    "spoilers", Act("do", "spoilers", "armed"), opens=Happened("event", "now"), due=5.0,
    closes=10.0, weight=1.0, area="checklist",
)  # fmt: skip
OPEN_LINE = Watch(
    "spoilers open", "never", Compare("speed", "above", Figure(200.0)), causes=("checklist",)
)


def test_an_item_put_right_before_explains_nothing() -> None:
    # Late, but done at 8 s; what goes wrong 20 s later is not because of it.
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(
        400, fast, [move(80, "spoilers", "armed")], [NOW], items=(SPOILERS,), watches=(OPEN_LINE,)
    )
    assert judgement.items[0].verdict == "late"
    assert judgement.watches[0].because is None


def test_the_same_item_left_undone_explains_it() -> None:
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(400, fast, extra=[NOW], items=(SPOILERS,), watches=(OPEN_LINE,))
    assert judgement.watches[0].because == "spoilers"


def test_points_are_the_weighted_mean_less_primary_deductions() -> None:
    # Hand calculation: 100 · 3 / (3 + 1) = 75, less 5 for one major watch that nothing explains.
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(
        400, fast, [move(20, "gear", "down")], extra=[NOW], items=(GEAR, CALL), watches=(FAST,)
    )
    assert judgement.points == pytest.approx(70.0)
    assert dict(judgement.areas)["energy"].points == 100.0
    assert dict(judgement.areas)["calls"].points == 0.0


def test_a_consequent_watch_deducts_nothing() -> None:
    fast: dict[int, dict[str, Any]] = {0: {"cas_kt": 150.0}, 300: {"cas_kt": 210.0}}
    judgement = fold(400, fast, extra=[NOW], items=(GEAR,), watches=(FAST,))
    assert judgement.watches[0].because == "gear down"
    assert judgement.points == 0.0


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
    assert judgement.reason == "gate stable failed and the approach was continued"


def test_a_failed_gate_answered_by_a_go_around_is_no_reason_to_repeat() -> None:
    changes = {**UNSTABLE, 200: {"phase": "go-around"}}
    # 5 s after the gate; one call on time keeps the points up.
    judgement = fold(
        400, changes, extra=[NOW], gates=(GATE,), items=(), reason="level after the missed approach"
    )
    assert judgement.reason.endswith("80 are needed")


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
