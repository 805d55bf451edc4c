"""Energy is kept: what thrust, drag and a changing wind do shows up as speed and height.

In axes that move with the air the energy per kg is V²/2 + g h; a wind that changes along the flight
does work on it too.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from tests.world.flyer import ALL_TYPES, Flown, airframe, fly, reference_crew
from trainer.units import FT, KT, G
from trainer.world.air import Air
from trainer.world.aircraft import AircraftType
from trainer.world.motion import Airframe, State
from trainer.world.wind import Wind


def work_and_change(flown: Flown) -> tuple[float, float, float, float]:
    """Work of thrust less drag, work of the shear, change of energy, drag work alone; J/kg."""
    frame, performance = flown.frame, flown.frame.performance
    forces, shears, drags = [], [], []
    states = [row.state for row in flown.rows]
    step_s = frame.step_s
    for before, after in pairwise(states):
        height_m = 0.5 * (before.height_m + after.height_m)
        tas_ms = 0.5 * (before.tas_ms + after.tas_ms)
        climb_ms = 0.5 * (before.climb_ms + after.climb_ms)
        air = frame.air.state(height_m)
        load = 1.0 + (after.climb_ms - before.climb_ms) / step_s / G
        drag_n = performance.drag_n(
            air, tas_ms, load, 0.5 * (before.flap + after.flap),
            0.5 * (before.gear + after.gear), 0.0,
        )  # fmt: skip
        power = 0.5 * (before.power + after.power)
        thrust_n = performance.thrust_n(air, tas_ms, power)
        forces.append((thrust_n - drag_n) * tas_ms * step_s / performance.mass_kg)
        drags.append(drag_n * tas_ms * step_s / performance.mass_kg)
        level_ms = math.sqrt(tas_ms * tas_ms - climb_ms * climb_ms)
        shears.append(-level_ms * frame.wind.gradient(height_m)[1] * climb_ms * step_s)

    def energy(state: State) -> float:
        return 0.5 * state.tas_ms * state.tas_ms + G * state.height_m

    change = energy(states[-1]) - energy(states[0])
    return math.fsum(forces), math.fsum(shears), change, math.fsum(drags)


@pytest.mark.parametrize("kind", ALL_TYPES, ids=lambda kind: kind.name)
def test_in_calm_air_thrust_and_drag_account_for_all_energy(kind: AircraftType) -> None:
    start_kt, steps = reference_crew(kind, 0.0)
    force, shear, change, drag = work_and_change(fly(airframe(kind, 0.0, 0.0), start_kt, steps))
    assert shear == 0.0
    assert change == pytest.approx(force, abs=0.005 * drag)
    assert change == pytest.approx(force, rel=0.005)


@pytest.mark.parametrize("surface_kt", [-20.0, 10.0])
@pytest.mark.parametrize("kind", ALL_TYPES, ids=lambda kind: kind.name)
def test_with_a_wind_that_changes_its_work_closes_the_balance(
    kind: AircraftType, surface_kt: float
) -> None:
    wind = Wind([(0.0, 0.0, surface_kt * KT), (3000.0 * FT, 0.0, 15.0 * KT)])
    frame = Airframe(kind, kind.mass_typical_t, Air(10.0, 1013.25), wind)
    start_kt, steps = reference_crew(kind, 0.0)
    force, shear, change, drag = work_and_change(fly(frame, start_kt, steps))
    assert change == pytest.approx(force + shear, abs=0.005 * drag)
    # Without the work of the wind it does not close: the check can fail.
    assert abs(change - force) > 3.0 * abs(change - force - shear)


@pytest.mark.parametrize("kind", ALL_TYPES, ids=lambda kind: kind.name)
def test_a_turn_to_the_left_mirrors_one_to_the_right(kind: AircraftType) -> None:
    def turned(sign: float) -> State:
        wind = Wind([(0.0, sign * 3.0, 2.0), (900.0, sign * 9.0, -4.0)])
        frame = Airframe(kind, kind.mass_typical_t, Air(0.0, 1013.25), wind)
        fast_ms = 1.1 * kind.manoeuvre_kt(kind.mass_typical_t, 0) * KT
        state = State(0, 0, 900.0, fast_ms, 0.0, 0.0, 0.0, 0.2, 0.0, 0.0, 0.0, 0.0)
        for index in range(600):
            bank = sign * 0.3 if index < 400 else -sign * 0.1
            state = frame.advance(state, bank, -2.0, 0.3, 1.0, 1.0, 0.0)
        return state

    right, left = turned(1.0), turned(-1.0)
    assert left.x_m == pytest.approx(-right.x_m, abs=1e-6)
    assert left.y_m == pytest.approx(right.y_m, abs=1e-6)
    assert left.heading_rad == pytest.approx(2.0 * math.pi - right.heading_rad, abs=1e-9)
    assert left.bank_rad == pytest.approx(-right.bank_rad, abs=1e-12)
    assert left.tas_ms == pytest.approx(right.tas_ms, abs=1e-9)
    assert left.height_m == pytest.approx(right.height_m, abs=1e-9)
