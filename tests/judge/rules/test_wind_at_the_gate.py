"""What a planted change of the wind does to a gate is nobody's slip; the decision still is.

Design of the judge, as for a slip planted with the colleague: the consequences of what the exercise
itself does are charged to nobody. A front at 1,140 ft adds 24 kt of headwind (*Unstable at the
gate*); the gate at 1,000 ft fails by speed and thrust alone.
"""

from __future__ import annotations

import pytest

from tests.crew.crews import edited
from trainer.judge.causes import AIR_UPSETS_S
from trainer.judge.consequences import air_that_upset
from trainer.judge.judgement import FailedCriterion, GateResult
from trainer.units import steps_for

pytestmark = pytest.mark.dear


def gate(*criteria: str) -> GateResult:
    failed = tuple(FailedCriterion(name, 1.0, 0.0, "") for name in criteria)
    return GateResult("stable", 1000, 3.0, "failed", failed, None)


def test_the_front_explains_the_gate_and_going_around_is_all_that_is_right() -> None:
    judgement = edited("unstable-gate", "")
    (found,) = judgement.gates
    assert (found.result, found.because) == ("failed", "front")
    assert (judgement.primary(), judgement.points) == (set(), 100.0)


def test_who_goes_on_is_charged_once_for_the_decision() -> None:
    judgement = edited("unstable-gate", "{omit: 'go around, not stable'}")
    assert judgement.primary() == {("go around, not stable", "missed")}
    assert judgement.outcome == "repeat"


def test_a_slip_of_ones_own_goes_before_the_wind() -> None:
    judgement = edited("unstable-gate", "{omit: landing flap}")
    assert judgement.gates[0].because == "landing flap"


@pytest.mark.parametrize(
    ("criteria", "ago_s", "because"),
    [
        (("speed above", "thrust idle"), 12.0, "front"),
        (("sink", "glideslope"), AIR_UPSETS_S, "front"),
        (("speed above",), AIR_UPSETS_S + 0.2, None),
        (("speed above", "configuration"), 12.0, None),
        (("localizer",), 12.0, None),
    ],
)
def test_only_what_air_upsets_and_only_for_half_a_minute(
    criteria: tuple[str, ...], ago_s: float, because: str | None
) -> None:
    assert air_that_upset(gate(*criteria), [(1000 - steps_for(ago_s), "front")]) == because
