"""The step is short enough: the same acts at the same times end at the same place.

The acts are taken from a flight of a good crew; the laws (path, autothrust, flare) run at the step
of the flight.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.world.flyer import Flown, Now, Step, airframe, fly, reference_crew
from tests.world.types import business_jet, twin_jet
from trainer.world.aircraft import AircraftType

CASES = [(twin_jet(), 0.0), (twin_jet(), 15.0), (business_jet().with_autothrust(), -15.0)]


def at_times(kind: AircraftType, tail_kt: float) -> list[Step]:
    """The acts of the reference crew, each at the time at which it was made."""
    start_kt, steps = reference_crew(kind, tail_kt)
    flown = fly(airframe(kind, tail_kt, 0.0), start_kt, steps, end_ft=0.0)

    def since(time_s: float) -> Step:
        def when(now: Now) -> bool:
            return now.time_s >= time_s - 1e-6

        return Step("", when)

    return [
        Step(step.name, since(flown.acts[step.name].now.time_s).when, step.flap, step.gear,
             step.speed_kt)
        for step in steps
    ]  # fmt: skip


@cache
def landed(case: int, step_s: float) -> Flown:
    kind, tail_kt = CASES[case]
    start_kt, _ = reference_crew(kind, tail_kt)
    frame = airframe(kind, tail_kt, 0.0).with_step(step_s)
    return fly(frame, start_kt, at_times(kind, tail_kt), end_ft=0.0)


@pytest.mark.parametrize("case", range(len(CASES)))
def test_half_the_step_lands_at_the_same_place_and_time(case: int) -> None:
    whole, half = landed(case, 0.1), landed(case, 0.05)
    assert whole.touchdown_m == pytest.approx(half.touchdown_m, abs=20.0)
    assert whole.touchdown_s == pytest.approx(half.touchdown_s, abs=0.3)
    assert whole.at_altitude(1000.0).cas_kt == pytest.approx(
        half.at_altitude(1000.0).cas_kt, abs=0.2
    )


def test_a_coarser_step_lands_farther_away_than_a_finer_one() -> None:
    # So the comparison above measures the step.
    fine, half, coarse = landed(0, 0.025), landed(0, 0.05), landed(0, 0.4)
    assert abs(coarse.touchdown_m - fine.touchdown_m) > abs(half.touchdown_m - fine.touchdown_m)
