"""What a type can do at the mass, in the air and the wind of an exercise: climb, sink, slow down.

Owns steady states by the force model of `world.energy`; knows no procedure. Surprising rule: all
gradients are over the ground, so a tailwind makes the same descent shallower.
"""

from __future__ import annotations

import math

from trainer.scenario.atmosphere import air_of, wind_of
from trainer.scenario.exercise import Exercise
from trainer.units import FT, KT, NM, G
from trainer.world.air import AirState, cas_gradient, tas_from_cas
from trainer.world.energy import Performance
from trainer.world.margin import LIMIT_MARGIN_KT
from trainer.world.wind import head_and_cross

_STEP_S = 1.0
_LEAST_SLOWING_KT_S = 0.01


class Machine:
    """The type of an exercise at its mass, in its air and wind."""

    def __init__(self, exercise: Exercise) -> None:
        weather, runway = exercise.weather, exercise.approach.runway
        self.kind = exercise.aircraft
        self.mass_t = exercise.start.mass_t
        self.air = air_of(weather, runway)
        self.wind = wind_of(weather, runway)
        self.setting_hpa = weather.qnh_hpa
        propeller = exercise.aircraft.propeller
        self.performance = Performance(
            exercise.aircraft,
            exercise.start.mass_t,
            self.air.delta_isa_k,
            propeller.shares[-1][0] if propeller else "",
        )

    def height_m(self, altitude_ft: float) -> float:
        """Height above sea level of an indicated altitude."""
        return self.air.height_at_indicated_m(altitude_ft, self.setting_hpa)

    def air_at(self, altitude_ft: float) -> AirState:
        """The air at an indicated altitude."""
        return self.air.state(self.height_m(altitude_ft))

    def tail_ms(self, altitude_ft: float, course_rad: float) -> float:
        """Tailwind along a course at an indicated altitude, m/s."""
        east_ms, north_ms = self.wind.at(self.height_m(altitude_ft))
        return -head_and_cross(east_ms, north_ms, course_rad)[0]

    def climb_ft_per_nm(
        self, altitude_ft: float, speed_kt: float, course_rad: float, thrust_n: float, drag_n: float
    ) -> float:
        """Height gained over the ground at a steady calibrated airspeed, ft for each NM."""
        air = self.air_at(altitude_ft)
        tas_ms = tas_from_cas(speed_kt * KT, air)
        rise_ms = (thrust_n - drag_n) / self.performance.mass_kg
        rise_ms /= G / tas_ms + cas_gradient(tas_ms, air)
        ground_ms = max(1.0, tas_ms + self.tail_ms(altitude_ft, course_rad))
        return rise_ms / FT / (ground_ms / NM)

    def descent_ft_per_nm(
        self, altitude_ft: float, speed_kt: float, course_rad: float, flap: int, is_gear_down: bool
    ) -> float:
        """Height lost over the ground at idle with the speedbrake out where it may be."""
        kind, performance = self.kind, self.performance
        air = self.air_at(altitude_ft)
        tas_ms = tas_from_cas(speed_kt * KT, air)
        brakes = 1.0 if flap <= kind.speedbrake.max_flap_stage else 0.0
        drag_n = performance.drag_n(air, tas_ms, 1.0, float(flap), float(is_gear_down), brakes)
        thrust_n = performance.idle_thrust_n(air, tas_ms)
        return -self.climb_ft_per_nm(altitude_ft, speed_kt, course_rad, thrust_n, drag_n)

    def steepest_ft_per_nm(self, altitude_ft: float, speed_kt: float, course_rad: float) -> float:
        """The steepest descent that any configuration allows, each at its limit or `speed_kt`."""
        kind = self.kind
        best = 0.0
        for flap, stage in enumerate(kind.flaps):
            for gear in (True,) if kind.gear.is_fixed else (False, True):
                limits = [kind.max_speed_kt, stage.limit_kt]
                if gear:
                    limits.append(kind.gear.extended_limit_kt)
                most = min(limit for limit in limits if limit is not None) - LIMIT_MARGIN_KT
                for fast in (most, min(most, speed_kt)):
                    found = self.descent_ft_per_nm(altitude_ft, fast, course_rad, flap, gear)
                    best = max(best, found)
        return best

    def best_climb_ft_per_nm(
        self, altitude_ft: float, speed_kt: float, course_rad: float, flap: int
    ) -> float:
        """Height gained over the ground at full power, gear up where it can be, ft for each NM."""
        performance = self.performance
        air = self.air_at(altitude_ft)
        tas_ms = tas_from_cas(speed_kt * KT, air)
        gear = 1.0 if self.kind.gear.is_fixed else 0.0
        drag_n = performance.drag_n(air, tas_ms, 1.0, float(flap), gear, 0.0)
        thrust_n = performance.max_thrust_n(air, tas_ms)
        return self.climb_ft_per_nm(altitude_ft, speed_kt, course_rad, thrust_n, drag_n)

    def slowing_nm(
        self, altitude_ft: float, cas_kt: float, course_rad: float, limit_kt: float
    ) -> float:
        """Distance (NM) in which the aircraft slows down to a limit, level, with everything out.

        Gear, speedbrake and each flap stage as soon as its limit allows, without time to travel.
        Infinite if it never does.
        """
        air = self.air_at(altitude_ft)
        tail_ms = self.tail_ms(altitude_ft, course_rad)
        performance = self.performance
        flown_m = 0.0
        while cas_kt > limit_kt:
            tas_ms = tas_from_cas(cas_kt * KT, air)
            force_n = performance.idle_thrust_n(air, tas_ms)
            force_n -= self._most_drag_n(air, tas_ms, cas_kt)
            change_kt_s = force_n / performance.mass_kg * cas_kt / tas_ms
            if change_kt_s >= -_LEAST_SLOWING_KT_S:
                return math.inf
            cas_kt += change_kt_s * _STEP_S
            flown_m += (tas_ms + tail_ms) * _STEP_S
        return flown_m / NM

    def _most_drag_n(self, air: AirState, tas_ms: float, cas_kt: float) -> float:
        kind = self.kind
        down_kt = kind.gear.extend_limit_kt
        gear = 1.0 if kind.gear.is_fixed or down_kt is None or cas_kt <= down_kt else 0.0
        drags = []
        for flap, stage in enumerate(kind.flaps):
            if stage.limit_kt is None or cas_kt <= stage.limit_kt:
                brakes = 1.0 if flap <= kind.speedbrake.max_flap_stage else 0.0
                drags.append(self.performance.drag_n(air, tas_ms, 1.0, float(flap), gear, brakes))
        return max(drags)
