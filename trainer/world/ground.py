"""The landing roll: from touchdown to a stop along the runway, or into the air again.

Owns deceleration by drag, spoilers, reverse, brakes and rolling friction, the thrust of a go-around
from the ground, and a simple steering law. It knows no modes and no commands to the pilot. The
surprising rule: the autobrake is a controller of *total* deceleration, so reverse shortens the
roll only when friction is the limit.

Yaw is not modelled: on the ground the heading of a state is the direction in which it rolls, and
its true airspeed is the ground speed less the wind along that direction.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import DEG, KT, STEP_S, STEPS_PER_S, G
from trainer.world.air import cas_from_tas
from trainer.world.aircraft import JetEngine
from trainer.world.energy import spool_rate_per_s
from trainer.world.motion import Airframe, Derived, State, moved

SPOILER_DELAY_S = 1.0
"""Time from touchdown until the spoilers are out, s."""
REVERSE_RAMP_S = 2.5
"""Time in which reverse thrust builds up, and dies away, s."""
BRAKE_RAMP_S = 0.8
"""Time in which the brakes build up, s."""
STEERING_LAG_S = 0.6
"""First-order lag of steering on the ground, s."""

_IDLE_FRACTION = 0.04
_CLOSING_PER_S = 0.15
_STEERING_MAX_RAD = 5.0 * DEG
_TURN_RAD = 2.0 * math.pi


class Runway(NamedTuple):
    """The runway as the roll needs it.

    `course_rad` clockwise from magnetic north; threshold position in the plane, m; elevation m;
    `is_wet`; `slope` rise per metre along the course.
    """

    course_rad: float
    threshold_x_m: float
    threshold_y_m: float
    elevation_m: float
    is_wet: bool = False
    slope: float = 0.0

    def offset_m(self, x_m: float, y_m: float) -> float:
        """Distance right of the centre line, m."""
        east_m, north_m = x_m - self.threshold_x_m, y_m - self.threshold_y_m
        return east_m * math.cos(self.course_rad) - north_m * math.sin(self.course_rad)

    def along_m(self, x_m: float, y_m: float) -> float:
        """Distance beyond the threshold along the course, m."""
        east_m, north_m = x_m - self.threshold_x_m, y_m - self.threshold_y_m
        return east_m * math.sin(self.course_rad) + north_m * math.cos(self.course_rad)


class Roll(NamedTuple):
    """What the roll remembers: steps since touchdown, reverse 0..1, share of brake force 0..1."""

    steps: int = 0
    reverse: float = 0.0
    brake: float = 0.0

    @property
    def since_touchdown_s(self) -> float:
        """Time since touchdown, s."""
        return self.steps / STEPS_PER_S


class RollCommand(NamedTuple):
    """What the crew has selected.

    `autobrake` is a level of the type or "" for off; `is_braking` is full manual braking (it
    overrides the autobrake); `is_reverse` reverse thrust selected; `are_spoilers_armed`. `power`
    0..1 above 0 is forward thrust for a go-around: brakes and spoilers are then left out.
    """

    autobrake: str = ""
    is_braking: bool = False
    is_reverse: bool = False
    are_spoilers_armed: bool = True
    power: float = 0.0


def _wrapped(angle_rad: float) -> float:
    return (angle_rad + math.pi) % _TURN_RAD - math.pi


def _tail_ms(airframe: Airframe, height_m: float, heading_rad: float) -> float:
    east_ms, north_ms, _, _ = airframe.wind.sample(height_m)
    return east_ms * math.sin(heading_rad) + north_ms * math.cos(heading_rad)


def touched_down(airframe: Airframe, state: State, runway: Runway) -> State:
    """`state` on the ground: heading becomes the track, the sink ends, the wings are level."""
    _, east_ms, north_ms = airframe.derived(state)
    heading_rad = math.atan2(east_ms, north_ms) % _TURN_RAD
    ground_ms = math.hypot(east_ms, north_ms)
    return state._replace(
        height_m=runway.elevation_m,
        heading_rad=heading_rad,
        tas_ms=ground_ms - _tail_ms(airframe, runway.elevation_m, heading_rad),
        bank_rad=0.0,
        climb_ms=0.0,
    )


def lifted_off(airframe: Airframe, state: State) -> State:
    """`state` in the air again: the ground velocity stays, the heading meets the wind."""
    _, ground_east_ms, ground_north_ms = derived_on_ground(airframe, state)
    east_ms, north_ms, _, _ = airframe.wind.sample(state.height_m)
    east_ms, north_ms = ground_east_ms - east_ms, ground_north_ms - north_ms
    return state._replace(
        heading_rad=math.atan2(east_ms, north_ms) % _TURN_RAD, tas_ms=math.hypot(east_ms, north_ms)
    )


def derived_on_ground(airframe: Airframe, state: State) -> Derived:
    """Calibrated airspeed (m/s, 0 with wind from behind) and ground velocity of a rolling state."""
    tas_ms, heading_rad = state.tas_ms, state.heading_rad
    ground_ms = tas_ms + _tail_ms(airframe, state.height_m, heading_rad)
    return Derived(
        cas_from_tas(max(0.0, tas_ms), airframe.air.state(state.height_m)),
        ground_ms * math.sin(heading_rad),
        ground_ms * math.cos(heading_rad),
    )


def _reverse_after(airframe: Airframe, roll: Roll, ground_ms: float, is_selected: bool) -> float:
    """Reverse 0..1 one step later: ramps up once allowed, and down below the cut-off speed."""
    law = airframe.kind.roll
    is_allowed = (
        is_selected
        and law.reverse_fraction > 0.0
        and roll.since_touchdown_s >= law.reverse_delay_s
        and ground_ms > law.reverse_cutoff_kt * KT
    )
    return moved(roll.reverse, 1.0 if is_allowed else 0.0, STEP_S / REVERSE_RAMP_S)


def _spooled(airframe: Airframe, power: float, command: float) -> float:
    """Power one step later; without a forward command the engines idle."""
    if command <= 0.0:
        return 0.0
    return power + STEP_S * spool_rate_per_s(power, command, airframe.kind.engine.spool)


def _thrust_n(airframe: Airframe, state: State, reverse: float, power: float) -> float:
    """Thrust at idle on the ground, or reverse: a share of static thrust; or that of `power`."""
    if power > 0.0:
        air = airframe.air.state(state.height_m)
        return airframe.performance.thrust_n(air, max(0.0, state.tas_ms), power)
    engine = airframe.kind.engine
    static_n = engine.count * engine.static_kn * 1000.0
    idle_n = _IDLE_FRACTION * static_n if isinstance(engine, JetEngine) else 0.0
    return idle_n * (1.0 - reverse) - airframe.kind.roll.reverse_fraction * static_n * reverse


def _steered(state: State, runway: Runway, ground_ms: float) -> float:
    """Heading one step later: a first-order lag towards the track that closes the centre line."""
    offset_m = runway.offset_m(state.x_m, state.y_m)
    closing = -_CLOSING_PER_S * offset_m / max(ground_ms, 10.0)
    limit = math.sin(_STEERING_MAX_RAD)
    wanted_rad = runway.course_rad + math.asin(min(limit, max(-limit, closing)))
    turn_rad = _wrapped(wanted_rad - state.heading_rad) * STEP_S / STEERING_LAG_S
    return (state.heading_rad + turn_rad) % _TURN_RAD


def advance_on_ground(
    airframe: Airframe, state: State, roll: Roll, runway: Runway, command: RollCommand
) -> tuple[State, Roll]:
    """State and memory one step (0.1 s) later; at rest the state stays where it is.

    KeyError for an autobrake level that the type does not have.
    """
    tail_ms = _tail_ms(airframe, state.height_m, state.heading_rad)
    ground_ms = state.tas_ms + tail_ms
    if ground_ms <= 0.0:
        return state._replace(power=0.0), roll
    reverse = _reverse_after(airframe, roll, ground_ms, command.is_reverse)
    is_brake_on = (
        roll.since_touchdown_s >= airframe.kind.roll.autobrake_delay_s
        and command.power <= 0.0
        and (command.is_braking or command.autobrake != "")
    )
    brake = moved(roll.brake, 1.0 if is_brake_on else 0.0, STEP_S / BRAKE_RAMP_S)
    speedbrake = 0.0
    if (
        command.are_spoilers_armed
        and command.power <= 0.0
        and roll.since_touchdown_s >= SPOILER_DELAY_S
    ):
        speedbrake = 1.0
    power = _spooled(airframe, state.power, command.power)
    driven = state._replace(power=power, speedbrake=speedbrake)
    later = Roll(roll.steps + 1, reverse, brake)
    after_ms = _speed_after(airframe, driven, later, runway, command, tail_ms)
    heading_rad = _steered(state, runway, ground_ms)
    step_m = STEP_S * 0.5 * (ground_ms + after_ms)
    x_m = state.x_m + step_m * math.sin(state.heading_rad)
    y_m = state.y_m + step_m * math.cos(state.heading_rad)
    rolled = driven._replace(
        x_m=x_m,
        y_m=y_m,
        height_m=runway.elevation_m + runway.slope * runway.along_m(x_m, y_m),
        tas_ms=after_ms - _tail_ms(airframe, state.height_m, heading_rad),
        heading_rad=heading_rad,
        flown_m=state.flown_m + step_m,
    )
    return rolled, later


def _speed_after(
    airframe: Airframe, state: State, roll: Roll, runway: Runway, command: RollCommand,
    tail_ms: float,
) -> float:  # fmt: skip
    """Ground speed (m/s) one step later, with power, spoilers, reverse and brakes as they are."""
    law, performance = airframe.kind.roll, airframe.performance
    still = performance.drag_coefficient(state.flap, state.gear, 0.0)
    still += law.spoiler_drag * state.speedbrake + airframe.kind.drag_induced * law.lift_ground**2
    friction = law.braking_wet if runway.is_wet else law.braking_dry
    wanted_ms2 = math.inf if command.is_braking else 0.0
    if command.autobrake and not command.is_braking:
        wanted_ms2 = dict(law.autobrake_ms2)[command.autobrake]
    thrust_n = _thrust_n(airframe, state, roll.reverse, state.power)
    mass_kg = performance.mass_kg
    density = airframe.air.state(state.height_m).density

    def change(speed_ms: float) -> float:
        """Rate of change of ground speed, m/s²."""
        tas_ms = speed_ms - tail_ms
        pressure_n = 0.5 * density * tas_ms * abs(tas_ms) * performance.area_m2
        load_n = max(0.0, mass_kg * G - abs(pressure_n) * law.lift_ground)
        force_n = thrust_n - pressure_n * still - law.rolling_friction * load_n
        force_n -= mass_kg * G * runway.slope
        missing_n = max(0.0, wanted_ms2 * mass_kg + force_n)
        available_n = (friction - law.rolling_friction) * load_n
        return (force_n - min(missing_n, roll.brake * available_n)) / mass_kg

    ground_ms = state.tas_ms + tail_ms
    middle_ms = max(0.0, ground_ms + 0.5 * STEP_S * change(ground_ms))
    return max(0.0, ground_ms + STEP_S * change(middle_ms))
