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

from math import ceil, cos, hypot, inf, pi, sin, sqrt, tan
from typing import NamedTuple

from trainer.units import DEG, FT, STEP_S, G
from trainer.values import made
from trainer.world.air import Air, cas_from_tas
from trainer.world.aircraft import AircraftType, FlareLaw
from trainer.world.energy import Performance, spool_rate_per_s
from trainer.world.wind import Wind

_BANK_LAG_S = 0.5
_TURN_RAD = 2.0 * pi
_SLOWEST_MS = 15.0

_Driven = tuple[float, float, float]
"""Flap (stage index), gear and speedbrake (0..1)."""


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
        value += step
        return value if value < target else target
    value -= step
    return value if value > target else target


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
        "_spool",
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
        self._spool = kind.engine.spool
        handling = kind.handling
        self._bank_limit = handling.bank_deg * DEG
        self._roll_rate = handling.roll_rate_deg_s * DEG
        self._vertical_tau = handling.vertical_tau_s
        self._vertical_max = handling.vertical_max_g * G
        self._flap_rates = tuple(
            1.0 / stage.transit_s if stage.transit_s > 0.0 else inf for stage in kind.flaps
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
        rates = self._flap_rates
        rate = rates[int(flap) + 1] if flap < target else rates[ceil(flap)]
        return moved(flap, target, duration_s * rate)

    def derived(self, state: State) -> Derived:
        """Calibrated airspeed and ground velocity of an airborne `state`."""
        tas_ms, heading_rad = state[3], state[4]
        east_ms, north_ms, _, _ = self.wind.sample(state[2])
        slope = state[6] / tas_ms
        level_ms = tas_ms * sqrt(max(0.0, 1.0 - slope * slope))
        return Derived(
            cas_from_tas(tas_ms, self.air.state(state[2])),
            level_ms * sin(heading_rad) + east_ms,
            level_ms * cos(heading_rad) + north_ms,
        )

    def _driven(
        self,
        flap: float,
        gear: float,
        speedbrake: float,
        flap_target: float,
        gear_target: float,
        speedbrake_target: float,
    ) -> tuple[_Driven, _Driven]:
        """Flap, gear and speedbrake in the middle of a step and at its end."""
        step_s, half_s = self.step_s, self._half_s
        flap_mid = self.flap_moved(flap, flap_target, half_s)
        gear_rate = self._gear_down if gear_target > gear else self._gear_up
        rate = self._speedbrake_rate
        middle = (
            flap_mid,
            moved(gear, gear_target, half_s * gear_rate),
            moved(speedbrake, speedbrake_target, half_s * rate),
        )
        end = (
            self.flap_moved(flap_mid, flap_target, half_s),
            moved(gear, gear_target, step_s * gear_rate),
            moved(speedbrake, speedbrake_target, step_s * rate),
        )
        return middle, end

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
        performance, thrust_range_n = self.performance, self.performance.thrust_range_n

        limit = self._bank_limit
        command = bank_command_rad
        command = -limit if command < -limit else limit if command > limit else command
        limit = self._roll_rate
        rate = (command - bank) / _BANK_LAG_S
        bank_mid = bank + half_s * (-limit if rate < -limit else limit if rate > limit else rate)
        rate = (command - bank_mid) / _BANK_LAG_S
        bank_end = bank + step_s * (-limit if rate < -limit else limit if rate > limit else rate)

        limit = self._vertical_max
        rate = (climb_command_ms - climb) / self._vertical_tau
        pull = -limit if rate < -limit else limit if rate > limit else rate
        climb_mid = climb + half_s * pull
        rate = (climb_command_ms - climb_mid) / self._vertical_tau
        pull_mid = -limit if rate < -limit else limit if rate > limit else rate

        power_mid = power_end = power
        if power_command != power:
            spool = self._spool
            command = 0.0 if power_command < 0.0 else 1.0 if power_command > 1.0 else power_command
            power_mid += half_s * spool_rate_per_s(power, command, spool)
            power_end += step_s * spool_rate_per_s(power_mid, command, spool)
        flap_mid, gear_mid, speedbrake_mid = flap, gear, speedbrake
        if flap != flap_target or gear != gear_target or speedbrake != speedbrake_target:
            middle, end = self._driven(
                flap, gear, speedbrake, flap_target, gear_target, speedbrake_target
            )
            flap_mid, gear_mid, speedbrake_mid = middle
            flap, gear, speedbrake = end

        # Height and everything that is driven move on their own, so their values in the middle of
        # the step are known beforehand; only speed and heading need the first half step. Both
        # halves stand written out: a call for each would cost a tenth of the step.
        height_mid = height + half_s * climb
        air = self.air.state_at(self.air.pressure_altitude_m(height_mid))
        half_density, area, mass_kg = 0.5 * air.density, performance.area_m2, performance.mass_kg
        wind_east, wind_north, east_per_m, north_per_m = self.wind.sample(height_mid)
        still_drag = performance.drag_coefficient(flap_mid, gear_mid, speedbrake_mid)
        lift_n = mass_kg * (G + pull_mid) / cos(bank_mid)
        induced_n2 = self._induced * lift_n * lift_n

        pressure_n = half_density * tas * tas * area
        idle_n, full_n = thrust_range_n(air, tas)
        force_n = idle_n + power * (full_n - idle_n)
        force_n -= pressure_n * still_drag + induced_n2 / pressure_n
        slope = climb / tas
        change = force_n / mass_kg - G * slope
        if east_per_m or north_per_m:
            tail_per_m = east_per_m * sin(heading) + north_per_m * cos(heading)
            level_share = 1.0 - slope * slope
            level_share = sqrt(level_share) if level_share > 0.0 else 0.0
            change -= level_share * tail_per_m * climb
        tas_mid = tas + half_s * change
        heading_mid = heading + half_s * G * tan(bank) / tas
        east, north = sin(heading_mid), cos(heading_mid)

        pressure_n = half_density * tas_mid * tas_mid * area
        idle_n, full_n = thrust_range_n(air, tas_mid)
        force_n = idle_n + power_mid * (full_n - idle_n)
        force_n -= pressure_n * still_drag + induced_n2 / pressure_n
        slope = climb_mid / tas_mid
        level_share = 1.0 - slope * slope
        level_share = sqrt(level_share) if level_share > 0.0 else 0.0
        tail_per_m = east_per_m * east + north_per_m * north
        change = force_n / mass_kg - G * slope - level_share * tail_per_m * climb_mid

        level = tas_mid * level_share
        ground_east = level * east + wind_east
        ground_north = level * north + wind_north
        tas_end = tas + step_s * change
        heading_end = heading + step_s * G * tan(bank_mid) / tas_mid
        if heading_end < 0.0:
            heading_end += _TURN_RAD
        if heading_end >= _TURN_RAD:
            heading_end -= _TURN_RAD
        return made(State, (
            x + step_s * ground_east, y + step_s * ground_north, height + step_s * climb_mid,
            tas_end if tas_end > _SLOWEST_MS else _SLOWEST_MS, heading_end, bank_end,
            climb + step_s * pull_mid, power_end, flap, gear, speedbrake,
            flown + step_s * hypot(ground_east, ground_north),
        ))  # fmt: skip
