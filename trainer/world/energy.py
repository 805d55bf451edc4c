"""Drag, thrust and speed laws: what makes an aircraft of a type gain or lose speed.

Owns the force model of one type at one mass and the laws that balance it (autothrust, level
change). It knows neither position nor time. The surprising rule: on a fixed descent path it is not
drag but geometry that a tailwind changes, since the path is steeper through moving air.

Parabolic polar with increments for flap, gear and speedbrake; thrust linear in power. Textbook
point-mass performance; every number is the type's own and invented.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from trainer.units import KT, G
from trainer.world.air import DENSITY_SEA_LEVEL, GRADIENT_FACTOR, AirState, cas_from_tas
from trainer.world.aircraft import AircraftType, JetEngine, PropellerEngine, Spool

_LEVEL_CHANGE_GAIN_PER_S = 0.08
_LEVEL_CHANGE_MAX_MS2 = 0.4 * KT
_LEVEL_CHANGE_LOWEST_MS = -25.0
_LEVEL_CHANGE_HIGHEST_MS = 20.0

ThrustRange = Callable[[AirState, float], tuple[float, float]]
"""Thrust at idle and at full power, N, from the air and the true airspeed in m/s: one law gives
both, because whoever wants thrust at some power needs both."""


def interpolated(values: tuple[float, ...], index: float) -> float:
    """Straight-line value of `values` at a continuous `index`, held at both ends."""
    lower = int(index)
    if lower >= len(values) - 1:
        return values[-1]
    low = values[lower]
    return low + (index - lower) * (values[lower + 1] - low)


def _jet(engine: JetEngine, delta_isa_k: float) -> ThrustRange:
    static_n = engine.count * engine.static_kn * 1000.0
    at_rest_n, idle_per_mach_n = static_n * engine.idle_c0, static_n * engine.idle_c1
    most_n = static_n * (1.0 - 0.007 * max(0.0, delta_isa_k - 15.0))
    per_mach, exponent = engine.max_mach_factor, engine.max_density_exponent

    def range_n(air: AirState, tas_ms: float) -> tuple[float, float]:
        delta, sound_ms = air.delta, air.sound_ms
        mach = tas_ms / sound_ms
        return (
            delta * (at_rest_n - idle_per_mach_n * tas_ms / sound_ms),
            most_n * delta**exponent * (1.0 - per_mach * mach + 0.5 * mach * mach),
        )

    return range_n


def _propeller(engine: PropellerEngine, share: float) -> ThrustRange:
    at_rest_n = engine.count * engine.idle_t0_kn * 1000.0
    per_cas_n = engine.count * engine.idle_t1 * 1000.0
    static_n = share * engine.count * engine.static_kn * 1000.0
    power_w = share * engine.count * engine.efficiency * engine.power_kw * 1000.0
    is_turbine = engine.is_turbine

    def range_n(air: AirState, tas_ms: float) -> tuple[float, float]:
        sigma = air.density / DENSITY_SEA_LEVEL
        lapse: float = min(1.0, 1.1 * sigma**0.8) if is_turbine else 1.132 * sigma - 0.132
        return (
            at_rest_n - per_cas_n * cas_from_tas(tas_ms, air),
            min(static_n, power_w * lapse / max(tas_ms, 1.0)),
        )

    return range_n


def spool_rate_per_s(power: float, command: float, spool: Spool) -> float:
    """Rate of change of power (1/s): first order, slow near idle, limited both ways."""
    rate = (command - power) / spool.tau_s
    if rate < 0.0:
        most = spool.rate_down
        return -most if rate < -most else rate
    knee = power / spool.power_knee
    if knee > 1.0:
        knee = 1.0
    most = spool.rate_idle + (spool.rate_high - spool.rate_idle) * knee
    return most if rate > most else rate


def spool_up_s(spool: Spool, power: float = 0.95) -> float:
    """Time (s) from idle to `power` (0..1, below full) with the lever at full, to 0.01 s."""
    reached, step_s, steps = 0.0, 0.01, 0
    while reached < power:
        middle = reached + 0.5 * step_s * spool_rate_per_s(reached, 1.0, spool)
        reached += step_s * spool_rate_per_s(middle, 1.0, spool)
        steps += 1
    return steps * step_s


class Performance:
    """Forces and speed laws of one type at one mass, on a day `delta_isa_k` off standard.

    Flap is a continuous stage index, gear and speedbrake run 0..1, power 0 (idle) to 1.
    """

    __slots__ = (
        "_autothrust",
        "_flap_drag",
        "_gear_drag",
        "_induced",
        "_lift_max",
        "_speedbrake_drag",
        "_stage_drag",
        "area_m2",
        "kind",
        "mass_kg",
        "mass_t",
        "thrust_range_n",
    )

    def __init__(
        self, kind: AircraftType, mass_t: float, delta_isa_k: float, propeller: str = ""
    ) -> None:
        """`mass_t` in tonnes; `delta_isa_k` −60..+50 K; `propeller` a setting ("": full thrust).

        KeyError for a propeller setting that the type does not have.
        """
        self.kind = kind
        self.mass_t = mass_t
        self.mass_kg = mass_t * 1000.0
        self.area_m2 = kind.wing_area_m2
        self._flap_drag = tuple(kind.drag_zero_lift + stage.drag_increment for stage in kind.flaps)
        self._stage_drag = {float(at): drag for at, drag in enumerate(self._flap_drag)}
        self._gear_drag = kind.gear.drag_increment
        self._speedbrake_drag = kind.speedbrake.drag_increment
        self._induced = kind.drag_induced
        # Gain (1/s) and the most it speeds up and slows down (m/s²); None for thrust set by hand.
        self._autothrust: tuple[float, float, float] | None = None
        if kind.autothrust is not None:
            law = kind.autothrust
            most_ms2, least_ms2 = law.acceleration_max_kt_s * KT, -law.deceleration_max_kt_s * KT
            self._autothrust = (law.gain_per_s, most_ms2, least_ms2)
        self._lift_max = tuple(stage.lift_max for stage in kind.flaps)
        engine = kind.engine
        self.thrust_range_n: ThrustRange
        if isinstance(engine, JetEngine):
            self.thrust_range_n = _jet(engine, delta_isa_k)
        else:
            settings = kind.propeller
            share = settings.share(propeller) if settings is not None and propeller else 1.0
            self.thrust_range_n = _propeller(engine, share)

    def drag_coefficient(self, flap: float, gear: float, speedbrake: float) -> float:
        """Drag coefficient without lift for the configuration."""
        still = self._stage_drag.get(flap)
        if still is None:
            still = interpolated(self._flap_drag, flap)
        return still + self._gear_drag * gear + self._speedbrake_drag * speedbrake

    def drag_n(
        self,
        air: AirState,
        tas_ms: float,
        load_factor: float,
        flap: float,
        gear: float,
        speedbrake: float,
    ) -> float:
        """Drag (N) at true airspeed `tas_ms` (> 0) and `load_factor` (lift over weight)."""
        pressure_n = 0.5 * air.density * tas_ms * tas_ms * self.area_m2
        lift = load_factor * self.mass_kg * G / pressure_n
        still = self.drag_coefficient(flap, gear, speedbrake)
        return pressure_n * (still + self._induced * lift * lift)

    def idle_thrust_n(self, air: AirState, tas_ms: float) -> float:
        """Thrust (N) of all engines at idle."""
        return self.thrust_range_n(air, tas_ms)[0]

    def max_thrust_n(self, air: AirState, tas_ms: float) -> float:
        """Thrust (N) of all engines at full power."""
        return self.thrust_range_n(air, tas_ms)[1]

    def thrust_n(self, air: AirState, tas_ms: float, power: float) -> float:
        """Thrust (N) of all engines at `power` 0..1."""
        idle_n, full_n = self.thrust_range_n(air, tas_ms)
        return idle_n + power * (full_n - idle_n)

    def power_for(self, air: AirState, tas_ms: float, thrust_n: float) -> float:
        """Power 0..1 that gives `thrust_n`, or the nearer limit."""
        thrust_range_n = self.thrust_range_n  # a call of an attribute that is no method is slow
        idle_n, full_n = thrust_range_n(air, tas_ms)
        power = (thrust_n - idle_n) / (full_n - idle_n)
        return 0.0 if power < 0.0 else 1.0 if power > 1.0 else power

    def stall_cas_ms(self, flap: float, load_factor: float = 1.0) -> float:
        """Stall speed (m/s calibrated) at continuous stage `flap` and `load_factor`."""
        lift_max = interpolated(self._lift_max, flap)
        weight_n = load_factor * self.mass_kg * G
        return math.sqrt(2.0 * weight_n / (DENSITY_SEA_LEVEL * self.area_m2 * lift_max))

    def balance_n(
        self,
        air: AirState,
        tas_ms: float,
        drag_n: float,
        climb_ms: float,
        acceleration_ms2: float,
        wind_change_ms2: float,
    ) -> float:
        """Thrust (N) that gives a rate of change of calibrated airspeed while climbing.

        `acceleration_ms2` is that of true airspeed beyond what constant calibrated airspeed
        needs; `wind_change_ms2` the rate at which the tailwind *grows* along the flight.
        """
        at_constant_cas = GRADIENT_FACTOR * tas_ms / air.temperature_k * climb_ms
        return drag_n + self.mass_kg * (
            G * climb_ms / tas_ms + acceleration_ms2 + wind_change_ms2 + at_constant_cas
        )

    def autothrust_power(
        self,
        air: AirState,
        tas_ms: float,
        cas_ms: float,
        selected_cas_ms: float,
        climb_ms: float,
        drag_n: float,
        wind_change_ms2: float = 0.0,
    ) -> float:
        """Power 0..1 the speed law of the autothrust asks for.

        `climb_ms` is the commanded climb rate. Without an autothrust this is the setting that
        holds the present speed, as `holding_power`.
        """
        acceleration_ms2 = 0.0
        if self._autothrust is not None:
            gain_per_s, most_ms2, least_ms2 = self._autothrust
            wanted_ms2 = gain_per_s * (selected_cas_ms - cas_ms)
            if wanted_ms2 > most_ms2:
                wanted_ms2 = most_ms2
            elif wanted_ms2 < least_ms2:
                wanted_ms2 = least_ms2
            acceleration_ms2 = wanted_ms2 * tas_ms / cas_ms
        thrust_n = self.balance_n(air, tas_ms, drag_n, climb_ms, acceleration_ms2, wind_change_ms2)
        return self.power_for(air, tas_ms, thrust_n)

    def holding_power(
        self,
        air: AirState,
        tas_ms: float,
        climb_ms: float,
        drag_n: float,
        wind_change_ms2: float = 0.0,
    ) -> float:
        """Power 0..1 that holds calibrated airspeed at `tas_ms` and `climb_ms`."""
        thrust_n = self.balance_n(air, tas_ms, drag_n, climb_ms, 0.0, wind_change_ms2)
        return self.power_for(air, tas_ms, thrust_n)

    def level_change_climb_ms(
        self, tas_ms: float, cas_ms: float, selected_cas_ms: float, thrust_n: float, drag_n: float
    ) -> float:
        """Climb rate (m/s, −25..+20) that steers speed to the selection with pitch.

        What thrust leaves over drag goes into height, except up to 0.4 kt/s kept for speed.
        """
        wanted_ms2 = _LEVEL_CHANGE_GAIN_PER_S * (selected_cas_ms - cas_ms)
        wanted_ms2 = min(_LEVEL_CHANGE_MAX_MS2, max(-_LEVEL_CHANGE_MAX_MS2, wanted_ms2))
        climb_ms = tas_ms * ((thrust_n - drag_n) / self.mass_kg - wanted_ms2) / G
        return min(_LEVEL_CHANGE_HIGHEST_MS, max(_LEVEL_CHANGE_LOWEST_MS, climb_ms))
