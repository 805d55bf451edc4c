"""An unstable gate made by hand: shared by the tests of consequences and of the outcome."""

from __future__ import annotations

from typing import Any

from tests.judge.fold import fold
from tests.judge.rules.test_gates import CRITERIA, STABLE
from trainer.flight.acts import Fact
from trainer.judge.judgement import Judgement
from trainer.scenario.exercise import Act, Gate, Item, Watch
from trainer.scenario.moments import Compare, Figure, Happened, Not

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


SPOILERS = Item(
    "spoilers", Act("do", "spoilers", "armed"), opens=Happened("event", "now"), due=5.0,
    closes=10.0, weight=1.0, area="checklist",
)  # fmt: skip


OPEN_LINE = Watch(
    "spoilers open", "never", Compare("speed", "above", Figure(200.0)), causes=("checklist",)
)


SPEED_ASTRAY = Watch(
    "speed astray", "never",
    Not(Compare("selected speed", "from", Figure(177.5), Figure(182.5))), causes=("energy",),
)  # fmt: skip
