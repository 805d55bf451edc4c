"""Motion through the air: one aircraft advanced by one step.

Owns the equations of a point mass in a moving air mass and the travel of flap, gear, speedbrake,
bank, climb rate and power. It knows no modes and no targets: it is told bank, climb rate and power.
The surprising rule: commands are sampled once per step (0.1 s), and everything that takes time
to move is inside the state, so a flight is the fold of its commands.

Explicit midpoint rule. Angles run clockwise from magnetic north, x east, y north, in the plane of
the threshold; heights are geometric above sea level. Equations: textbook point-mass flight
mechanics with the along-track wind-shear term; the small cross-shear term is left out.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import DEG, FT, STEP_S, G
from trainer.world.air import Air, AirState, cas_from_tas
from trainer.world.aircraft import AircraftType, FlareLaw
from trainer.world.energy import Performance, spool_rate_per_s
from trainer.world.wind import Wind

_BANK_LAG_S = 0.5
_TURN_RAD = 2.0 * math.pi
_SLOWEST_MS = 15.0


class State(NamedTuple):
    """Where the aircraft is and how it stands, at one step.

    `x_m`, `y_m` east and north; `height_m` geometric above sea level; `tas_ms` true airspeed;
    `heading_rad` [0, 2π); `bank_rad` right positive; `climb_ms` vertical speed; `power` 0..1;
    `flap` continuous stage index; `gear`, `speedbrake` 0..1; `flown_m` distance over the ground.
    """

    x_m: float
    y_m: float
    height_m: float
    tas_ms: float
    heading_rad: float
    bank_rad: float
    climb_ms: float
    power: float
    flap: float
    gear: float
    speedbrake: float
    flown_m: float


class Derived(NamedTuple):
    """What follows from a state: calibrated airspeed and ground velocity, m/s."""

    cas_ms: float
    ground_east_ms: float
    ground_north_ms: float


def moved(value: float, target: float, step: float) -> float:
    """`value` moved towards `target` by at most `step`, never beyond it."""
    if value < target:
        return min(target, value + step)
    return max(target, value - step)


def flare_climb_ms(
    radio_height_m: float, climb_ms: float, law: FlareLaw, vertical_tau_s: float
) -> float:
    """Climb rate (m/s, never above 0) that lets the sink die away exponentially to touchdown.

    The second term cancels the lag of the vertical response: without it the sink at touchdown is
    about twice what the law asks for. Use the greater of this and the path's command.
    """
    sink_ms = (radio_height_m + vertical_tau_s * climb_ms) / law.tau_s + law.sink_ft_s * FT
    return min(0.0, -sink_ms)


class Airframe:
    """One aircraft of a type at a mass, in given air and wind: the rule that advances a state."""

    __slots__ = (
        "_bank_limit",
        "_bank_step",
        "_flap_rates",
        "_gear_down",
        "_gear_up",
        "_half_s",
        "_induced",
        "_roll_rate",
        "_speedbrake_rate",
        "_vertical_max",
        "_vertical_tau",
        "air",
        "kind",
        "mass_t",
        "performance",
        "propeller",
        "step_s",
        "wind",
    )

    def __init__(
        self,
        kind: AircraftType,
        mass_t: float,
        air: Air,
        wind: Wind,
        propeller: str = "",
        step_s: float = STEP_S,
    ) -> None:
        """`mass_t` in tonnes, constant in flight; `propeller` a setting ("": full thrust).

        `step_s` is the length of a step: the flight engine's own unless a search wants coarser or
        a test finer ones (0.001..0.5 s).
        """
        self.kind = kind
        self.mass_t = mass_t
        self.air = air
        self.wind = wind
        self.propeller = propeller
        self.step_s = step_s
        self._half_s = 0.5 * step_s
        self.performance = Performance(kind, mass_t, air.delta_isa_k, propeller)
        self._induced = kind.drag_induced
        handling = kind.handling
        self._bank_limit = handling.bank_deg * DEG
        self._roll_rate = handling.roll_rate_deg_s * DEG
        self._vertical_tau = handling.vertical_tau_s
        self._vertical_max = handling.vertical_max_g * G
        self._flap_rates = tuple(
            1.0 / stage.transit_s if stage.transit_s > 0.0 else math.inf for stage in kind.flaps
        )
        self._gear_down = 1.0 / kind.gear.down_s if kind.gear.down_s > 0.0 else 0.0
        self._gear_up = 1.0 / kind.gear.up_s if kind.gear.up_s > 0.0 else 0.0
        self._speedbrake_rate = 1.0 / kind.speedbrake.transit_s

    def with_propeller(self, setting: str) -> Airframe:
        """The same aircraft with its propellers at `setting`: the one to advance from then on.

        KeyError for a setting that the type does not have.
        """
        return Airframe(self.kind, self.mass_t, self.air, self.wind, setting, self.step_s)

    def with_step(self, step_s: float) -> Airframe:
        """The same aircraft advanced by `step_s` (0.001..0.5 s) at a time."""
        return Airframe(self.kind, self.mass_t, self.air, self.wind, self.propeller, step_s)

    def flap_moved(self, flap: float, target: float, duration_s: float) -> float:
        """Flap (stage index) after running for `duration_s` (less than one stage) to `target`."""
        if flap < target:
            return min(target, flap + duration_s * self._flap_rates[int(flap) + 1])
        return max(target, flap - duration_s * self._flap_rates[math.ceil(flap)])

    def derived(self, state: State) -> Derived:
        """Calibrated airspeed and ground velocity of an airborne `state`."""
        tas_ms, heading_rad = state[3], state[4]
        east_ms, north_ms, _, _ = self.wind.sample(state[2])
        slope = state[6] / tas_ms
        level_ms = tas_ms * math.sqrt(max(0.0, 1.0 - slope * slope))
        return Derived(
            cas_from_tas(tas_ms, self.air.state(state[2])),
            level_ms * math.sin(heading_rad) + east_ms,
            level_ms * math.cos(heading_rad) + north_ms,
        )

    def _acceleration(
        self,
        air: AirState,
        tas_ms: float,
        lift_n: float,
        climb_ms: float,
        tailwind_per_m: float,
        power: float,
        still_drag: float,
    ) -> float:
        """Rate of change of true airspeed, m/s²."""
        performance = self.performance
        pressure_n = 0.5 * air.density * tas_ms * tas_ms * performance.area_m2
        drag_n = pressure_n * still_drag + self._induced * lift_n * lift_n / pressure_n
        slope = climb_ms / tas_ms
        force_n = performance.thrust_n(air, tas_ms, power) - drag_n
        change = force_n / performance.mass_kg - G * slope
        if tailwind_per_m:
            change -= math.sqrt(max(0.0, 1.0 - slope * slope)) * tailwind_per_m * climb_ms
        return change

    def advance(
        self,
        state: State,
        bank_command_rad: float,
        climb_command_ms: float,
        power_command: float,
        flap_target: float,
        gear_target: float,
        speedbrake_target: float,
    ) -> State:
        """The state one step later: one explicit midpoint step.

        Bank is limited to the type's limit and power to 0..1; targets are stage index and 0..1.
        Below 15 m/s true airspeed is held: the model has no stalled flight.
        """
        x, y, height, tas, heading, bank, climb, power, flap, gear, speedbrake, flown = state
        step_s, half_s = self.step_s, self._half_s

        limit = self._bank_limit
        command = min(limit, max(-limit, bank_command_rad))
        limit = self._roll_rate
        rate = (command - bank) / _BANK_LAG_S
        bank_mid = bank + half_s * min(limit, max(-limit, rate))
        rate = (command - bank_mid) / _BANK_LAG_S
        bank_end = bank + step_s * min(limit, max(-limit, rate))

        tau = self._vertical_tau
        limit = self._vertical_max
        rate = (climb_command_ms - climb) / tau
        pull = min(limit, max(-limit, rate))
        climb_mid = climb + half_s * pull
        rate = (climb_command_ms - climb_mid) / tau
        pull_mid = min(limit, max(-limit, rate))

        power_mid = power_end = power
        if power_command != power:
            spool = self.kind.engine.spool
            command = min(1.0, max(0.0, power_command))
            power_mid += half_s * spool_rate_per_s(power, command, spool)
            power_end += step_s * spool_rate_per_s(power_mid, command, spool)

        flap_mid = flap_end = flap
        if flap != flap_target:
            flap_mid = self.flap_moved(flap, flap_target, half_s)
            flap_end = self.flap_moved(flap_mid, flap_target, half_s)
        gear_mid = gear_end = gear
        if gear != gear_target:
            rate = self._gear_down if gear_target > gear else self._gear_up
            gear_mid = moved(gear, gear_target, half_s * rate)
            gear_end = moved(gear, gear_target, step_s * rate)
        speedbrake_mid = speedbrake_end = speedbrake
        if speedbrake != speedbrake_target:
            rate = self._speedbrake_rate
            speedbrake_mid = moved(speedbrake, speedbrake_target, half_s * rate)
            speedbrake_end = moved(speedbrake, speedbrake_target, step_s * rate)

        # Height and everything that is driven move on their own, so their values in the middle of
        # the step are known beforehand; only speed and heading need the first half step.
        height_mid = height + half_s * climb
        air = self.air.state(height_mid)
        wind_east, wind_north, east_per_m, north_per_m = self.wind.sample(height_mid)
        still_drag = self.performance.drag_coefficient(flap_mid, gear_mid, speedbrake_mid)
        lift_n = self.performance.mass_kg * (G + pull_mid) / math.cos(bank_mid)

        tailwind_per_m = 0.0
        if east_per_m or north_per_m:
            tailwind_per_m = east_per_m * math.sin(heading) + north_per_m * math.cos(heading)
        tas_mid = tas + half_s * self._acceleration(
            air, tas, lift_n, climb, tailwind_per_m, power, still_drag
        )
        heading_mid = heading + half_s * G * math.tan(bank) / tas
        east, north = math.sin(heading_mid), math.cos(heading_mid)
        tailwind_per_m = east_per_m * east + north_per_m * north
        acceleration = self._acceleration(
            air, tas_mid, lift_n, climb_mid, tailwind_per_m, power_mid, still_drag
        )
        slope = climb_mid / tas_mid
        level = tas_mid * math.sqrt(max(0.0, 1.0 - slope * slope))
        ground_east = level * east + wind_east
        ground_north = level * north + wind_north
        tas_end = tas + step_s * acceleration
        heading_end = heading + step_s * G * math.tan(bank_mid) / tas_mid
        if heading_end < 0.0:
            heading_end += _TURN_RAD
        if heading_end >= _TURN_RAD:
            heading_end -= _TURN_RAD
        return State(
            x + step_s * ground_east,
            y + step_s * ground_north,
            height + step_s * climb_mid,
            tas_end if tas_end > _SLOWEST_MS else _SLOWEST_MS,
            heading_end,
            bank_end,
            climb + step_s * pull_mid,
            power_end,
            flap_end,
            gear_end,
            speedbrake_end,
            flown + step_s * math.hypot(ground_east, ground_north),
        )
