"""Who is told to go around, or says so, goes around; who is not cleared to land does not land.

The missed decision is the finding; what then happened on the runway decides the outcome, follows
from it and is charged no second time.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.crew.crews import edited
from tests.crew.crews import exercise as drill
from tests.judge.fold import fold
from trainer.flight.acts import Fact
from trainer.judge.judgement import Judgement
from trainer.scenario.exercise import Act, Item, Watch
from trainer.scenario.moments import Happened

ORDERED = Fact(100, "granted", "go around", "order")
ON_FINAL: dict[int, dict[str, Any]] = {0: {"phase": "final"}}
LANDED: dict[int, dict[str, Any]] = {**ON_FINAL, 200: {"phase": "rollout"}}


def shipped(name: str) -> Watch:
    """A watch of the jet's flow."""
    return next(one for one in drill("straight-in").flow.watches if one.name == name)


def found(changes: dict[int, dict[str, Any]]) -> list[str]:
    watch = shipped("landed against an order")
    judgement = fold(400, changes, extra=[ORDERED], watches=(watch,))
    return [one.severity for one in judgement.watches]


def test_landing_against_an_ordered_go_around_is_critical() -> None:
    assert found(LANDED) == ["critical"]


@pytest.mark.parametrize(
    "touched", [{}, {130: {"phase": "rollout"}}], ids=["in the air", "touched"]
)
def test_going_around_as_told_is_no_finding_even_if_the_wheels_touch(
    touched: dict[int, dict[str, Any]],
) -> None:
    # Five seconds are due; from the runway a go-around is still one (before reverse).
    assert found({**ON_FINAL, **touched, 160: {"phase": "go-around"}}) == []


def test_an_order_that_comes_in_the_landing_roll_is_nobodys_landing_against_it() -> None:
    assert found({**ON_FINAL, 50: {"phase": "rollout"}}) == []


def test_the_ordered_go_around_that_is_not_flown_is_charged_once() -> None:
    judgement = edited("flare-go-around", "{omit: go around as told}")
    assert judgement.primary() == {("go around as told", "missed")}
    assert because(judgement, "landed against an order") == "go around as told"
    assert judgement.outcome == "repeat"
    item = next(one for one in judgement.items if one.item == "go around as told")
    weights = [one.weight for one in judgement.items if one.credit is not None]
    # By hand: only the weight of the item is lost, nothing is deducted.
    assert judgement.points == pytest.approx(100.0 * (1.0 - item.weight / sum(weights)))


def because(judgement: Judgement, watch: str) -> str | None:
    return next(one.because for one in judgement.watches if one.watch == watch)


def test_an_order_is_due_as_written_and_not_as_a_clearance_that_came_late() -> None:
    # Due 5 s after the order; a clearance would leave 12 s.
    item = Item(
        "go around as told", Act("do", control="go-around"),
        opens=Happened("granted", "go around"), due=5.0, closes=10.0,
    )  # fmt: skip
    judgement = fold(400, ON_FINAL, extra=[ORDERED], items=(item,))
    (verdict,) = judgement.items
    assert (verdict.opened, verdict.due, verdict.verdict) == (101, 151, "missed")
