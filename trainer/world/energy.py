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
from trainer.world.air import DENSITY_SEA_LEVEL, AirState, cas_from_tas, cas_gradient
from trainer.world.aircraft import AircraftType, JetEngine, PropellerEngine, Spool

_LEVEL_CHANGE_GAIN_PER_S = 0.08
_LEVEL_CHANGE_MAX_MS2 = 0.4 * KT
_LEVEL_CHANGE_LOWEST_MS = -25.0
_LEVEL_CHANGE_HIGHEST_MS = 20.0

ThrustLaw = Callable[[AirState, float], float]
"""Thrust in N from the air and the true airspeed in m/s."""


def interpolated(values: tuple[float, ...], index: float) -> float:
    """Straight-line value of `values` at a continuous `index`, held at both ends."""
    lower = int(index)
    if lower >= len(values) - 1:
        return values[-1]
    low = values[lower]
    return low + (index - lower) * (values[lower + 1] - low)


def _jet_idle(engine: JetEngine) -> ThrustLaw:
    static_n = engine.count * engine.static_kn * 1000.0
    at_rest_n, per_mach_n = static_n * engine.idle_c0, static_n * engine.idle_c1

    def thrust_n(air: AirState, tas_ms: float) -> float:
        return air.delta * (at_rest_n - per_mach_n * tas_ms / air.sound_ms)

    return thrust_n


def _jet_maximum(engine: JetEngine, delta_isa_k: float) -> ThrustLaw:
    hot_loss = 0.007 * max(0.0, delta_isa_k - 15.0)
    static_n = engine.count * engine.static_kn * 1000.0 * (1.0 - hot_loss)
    per_mach, exponent = engine.max_mach_factor, engine.max_density_exponent

    def thrust_n(air: AirState, tas_ms: float) -> float:
        mach = tas_ms / air.sound_ms
        lapse: float = air.delta**exponent
        return static_n * lapse * (1.0 - per_mach * mach + 0.5 * mach * mach)

    return thrust_n


def _propeller_idle(engine: PropellerEngine) -> ThrustLaw:
    at_rest_n = engine.count * engine.idle_t0_kn * 1000.0
    per_cas_n = engine.count * engine.idle_t1 * 1000.0

    def thrust_n(air: AirState, tas_ms: float) -> float:
        return at_rest_n - per_cas_n * cas_from_tas(tas_ms, air)

    return thrust_n


def _propeller_maximum(engine: PropellerEngine, share: float) -> ThrustLaw:
    static_n = share * engine.count * engine.static_kn * 1000.0
    power_w = share * engine.count * engine.efficiency * engine.power_kw * 1000.0
    is_turbine = engine.is_turbine

    def thrust_n(air: AirState, tas_ms: float) -> float:
        sigma = air.sigma
        lapse: float = min(1.0, 1.1 * sigma**0.8) if is_turbine else 1.132 * sigma - 0.132
        return min(static_n, power_w * lapse / max(tas_ms, 1.0))

    return thrust_n


def spool_rate_per_s(power: float, command: float, spool: Spool) -> float:
    """Rate of change of power (1/s): first order, slow near idle, limited both ways."""
    rate = (command - power) / spool.tau_s
    if rate < 0.0:
        return max(rate, -spool.rate_down)
    knee = min(1.0, power / spool.power_knee)
    return min(rate, spool.rate_idle + (spool.rate_high - spool.rate_idle) * knee)


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
        "_flap_drag",
        "_gear_drag",
        "_lift_max",
        "_speedbrake_drag",
        "area_m2",
        "idle_thrust_n",
        "kind",
        "mass_kg",
        "mass_t",
        "max_thrust_n",
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
        self._gear_drag = kind.gear.drag_increment
        self._speedbrake_drag = kind.speedbrake.drag_increment
        self._lift_max = tuple(stage.lift_max for stage in kind.flaps)
        engine = kind.engine
        if isinstance(engine, JetEngine):
            self.idle_thrust_n: ThrustLaw = _jet_idle(engine)
            self.max_thrust_n: ThrustLaw = _jet_maximum(engine, delta_isa_k)
        else:
            self.idle_thrust_n = _propeller_idle(engine)
            settings = kind.propeller
            share = settings.share(propeller) if settings is not None and propeller else 1.0
            self.max_thrust_n = _propeller_maximum(engine, share)

    def drag_coefficient(self, flap: float, gear: float, speedbrake: float) -> float:
        """Drag coefficient without lift for the configuration."""
        return (
            interpolated(self._flap_drag, flap)
            + self._gear_drag * gear
            + self._speedbrake_drag * speedbrake
        )

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
        return pressure_n * (still + self.kind.drag_induced * lift * lift)

    def thrust_n(self, air: AirState, tas_ms: float, power: float) -> float:
        """Thrust (N) of all engines at `power` 0..1."""
        idle_n = self.idle_thrust_n(air, tas_ms)
        if power == 0.0:
            return idle_n
        return idle_n + power * (self.max_thrust_n(air, tas_ms) - idle_n)

    def power_for(self, air: AirState, tas_ms: float, thrust_n: float) -> float:
        """Power 0..1 that gives `thrust_n`, or the nearer limit."""
        idle_n = self.idle_thrust_n(air, tas_ms)
        power = (thrust_n - idle_n) / (self.max_thrust_n(air, tas_ms) - idle_n)
        return min(1.0, max(0.0, power))

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
        at_constant_cas = cas_gradient(tas_ms, air) * climb_ms
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
        law = self.kind.autothrust
        acceleration_ms2 = 0.0
        if law is not None:
            wanted_ms2 = law.gain_per_s * (selected_cas_ms - cas_ms)
            wanted_ms2 = min(law.acceleration_max_kt_s * KT, wanted_ms2)
            wanted_ms2 = max(-law.deceleration_max_kt_s * KT, wanted_ms2)
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
