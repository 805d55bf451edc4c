"""The landing roll against a second implementation, published statements and simple mechanics.

Distances run from touchdown three knots below reference to 20 kt, in landing configuration, sea
level, standard day. The second implementation integrates differently, hence 1 %.
"""

from __future__ import annotations

import math

import pytest

from tests.world.figures import NORTH, landed, roll_to
from tests.world.types import business_jet, piston_single, turboprop, twin_jet
from trainer.units import DEG, KT
from trainer.world.air import Air
from trainer.world.aircraft import AircraftType
from trainer.world.ground import (
    Roll,
    RollCommand,
    Runway,
    advance_on_ground,
    derived_on_ground,
    touched_down,
)
from trainer.world.motion import Airframe
from trainer.world.wind import Wind

MTJ = twin_jet()


REVERSE = RollCommand(is_reverse=True)
MANUAL = RollCommand(is_braking=True, is_reverse=True)


def auto(level: str, reverse: bool = True) -> RollCommand:
    """Autobrake at `level`."""
    return RollCommand(autobrake=level, is_reverse=reverse)


@pytest.mark.parametrize(
    ("command", "is_wet", "tail_kt", "distance_m", "time_s"),
    [
        (RollCommand(), False, 0, 5043, 120),
        (REVERSE, False, 0, 3748, 120),
        (auto("low"), False, 0, 1548, 40),
        (auto("medium"), False, 0, 1147, 29),
        (auto("high"), False, 0, 853, 21),
        (auto("max"), False, 0, 650, 16),
        (auto("medium", reverse=False), False, 0, 1147, 29),
        (auto("medium"), False, 10, 1330, 32),
        (auto("max"), True, 0, 833, 22),
        (MANUAL, False, 0, 550, 14),
        (MANUAL, True, 0, 833, 22),
    ],
)
def test_the_twin_jet_stops_where_calculated(
    command: RollCommand, is_wet: bool, tail_kt: float, distance_m: float, time_s: float
) -> None:
    found_m, found_s, _ = roll_to(MTJ, 129.0, command, NORTH._replace(is_wet=is_wet), tail_kt)
    assert found_m == pytest.approx(distance_m, rel=0.01)
    assert found_s == pytest.approx(time_s, abs=0.8)


@pytest.mark.parametrize(
    ("kind", "cas_kt", "command", "is_wet", "distance_m"),
    [
        (turboprop(), 103, RollCommand(), False, 3101),
        (turboprop(), 103, REVERSE, False, 1871),
        (turboprop(), 103, MANUAL, False, 400),
        (turboprop(), 103, MANUAL, True, 590),
        (business_jet(), 104, RollCommand(), False, 3352),
        (business_jet(), 104, MANUAL, False, 416),
        (business_jet(), 104, MANUAL, True, 679),
        (piston_single(), 57, RollCommand(), False, 716),
        (piston_single(), 57, MANUAL, False, 150),
        (piston_single(), 57, MANUAL, True, 216),
    ],
)
def test_the_other_types_stop_where_calculated(
    kind: AircraftType, cas_kt: float, command: RollCommand, is_wet: bool, distance_m: float
) -> None:
    found_m, _, _ = roll_to(kind, cas_kt, command, NORTH._replace(is_wet=is_wet))
    assert found_m == pytest.approx(distance_m, rel=0.015)


# Deceleration without brakes at 120, 90 and 60 kt, and with reverse at 120 and 90 kt, m/s²
# (hand calculation).
@pytest.mark.parametrize(
    ("cas_kt", "reverse", "expected_ms2"),
    [(120, 0.0, 0.65), (90, 0.0, 0.36), (60, 0.0, 0.16), (120, 1.0, 1.66), (90, 1.0, 1.37)],
)
def test_deceleration_without_brakes_matches_the_hand_calculation(
    cas_kt: float, reverse: float, expected_ms2: float
) -> None:
    frame = Airframe(MTJ, 58.0, Air(0.0, 1013.25), Wind())
    state = landed(MTJ, cas_kt)
    after, _ = advance_on_ground(
        frame, state, Roll(50, reverse), NORTH, RollCommand(is_reverse=reverse > 0.0)
    )
    assert (state.tas_ms - after.tas_ms) / 0.1 == pytest.approx(expected_ms2, abs=0.006)


def test_reverse_does_not_shorten_an_autobrake_stop_within_friction() -> None:
    # Published operating practice: the controller holds total deceleration.
    with_it, _, _ = roll_to(MTJ, 129.0, auto("medium"))
    without, _, _ = roll_to(MTJ, 129.0, auto("medium", reverse=False))
    assert with_it == pytest.approx(without, abs=1.0)


def test_reverse_shortens_a_stop_on_a_wet_runway() -> None:
    wet = NORTH._replace(is_wet=True)
    with_it, _, _ = roll_to(MTJ, 129.0, MANUAL, wet)
    without, _, _ = roll_to(MTJ, 129.0, RollCommand(is_braking=True), wet)
    assert with_it < without - 50.0


def test_unarmed_spoilers_lengthen_the_roll() -> None:
    armed, _, _ = roll_to(MTJ, 129.0, RollCommand())
    unarmed, _, _ = roll_to(MTJ, 129.0, RollCommand(are_spoilers_armed=False))
    assert unarmed > armed + 100.0


def test_an_unknown_autobrake_level_is_refused() -> None:
    with pytest.raises(KeyError):
        roll_to(MTJ, 129.0, auto("full"))


@pytest.mark.parametrize("tail_kt", [-15.0, 0.0, 9.0])
def test_the_aircraft_comes_to_rest_and_stays_there(tail_kt: float) -> None:
    _, _, state = roll_to(MTJ, 129.0, MANUAL, tail_kt=tail_kt, end_kt=0.0)
    frame = Airframe(MTJ, 58.0, Air(0.0, 1013.25), Wind([(0.0, 0.0, tail_kt * KT)]))
    assert math.hypot(*derived_on_ground(frame, state)[1:]) == pytest.approx(0.0, abs=1e-9)
    later, _ = advance_on_ground(frame, state, Roll(200, 0.0, 1.0), NORTH, MANUAL)
    assert (later.x_m, later.y_m) == (state.x_m, state.y_m)


def test_an_uphill_runway_slows_more() -> None:
    level, _, _ = roll_to(MTJ, 129.0, RollCommand())
    uphill, _, state = roll_to(MTJ, 129.0, RollCommand(), NORTH._replace(slope=0.01))
    assert uphill < level
    assert state.height_m == pytest.approx(0.01 * uphill, rel=1e-6)


def test_steering_closes_the_centre_line_without_crossing_it() -> None:
    course_rad = 143.0 * DEG
    runway = Runway(course_rad, 100.0, -50.0, 12.0)
    frame = Airframe(MTJ, 58.0, Air(0.0, 1013.25), Wind())
    right_x, right_y = math.cos(course_rad), -math.sin(course_rad)
    state = landed(
        MTJ,
        129.0,
        x_m=100.0 + 6.0 * right_x,
        y_m=-50.0 + 6.0 * right_y,
        heading_rad=course_rad,
        height_m=12.0,
    )
    roll, offsets = Roll(), []
    assert runway.offset_m(state.x_m, state.y_m) == pytest.approx(6.0)
    for _ in range(250):
        state, roll = advance_on_ground(frame, state, roll, runway, auto("low"))
        offsets.append(runway.offset_m(state.x_m, state.y_m))
    assert min(offsets) > -0.05
    assert offsets[-1] < 0.5
    assert runway.along_m(state.x_m, state.y_m) == pytest.approx(state.flown_m, rel=1e-3)


def test_touching_down_keeps_the_ground_velocity() -> None:
    wind = Wind([(0.0, 6.0, -3.0)])
    frame = Airframe(MTJ, 58.0, Air(0.0, 1013.25), wind)
    flying = landed(
        MTJ, 129.0, heading_rad=350.0 * DEG, height_m=-0.02, climb_ms=-0.6, bank_rad=0.02
    )
    before = frame.derived(flying)
    state = touched_down(frame, flying, NORTH)
    after = derived_on_ground(frame, state)
    assert after.ground_east_ms == pytest.approx(before.ground_east_ms)
    assert after.ground_north_ms == pytest.approx(before.ground_north_ms)
    assert (state.bank_rad, state.climb_ms, state.height_m) == (0.0, 0.0, 0.0)
