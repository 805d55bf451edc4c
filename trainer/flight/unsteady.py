"""What the air does beyond its steady wind: turbulence and shear, as velocity added to the wind.

Turbulence is drawn from the seed of the exercise; a shear begins when its event happens. Inertia
keeps the velocity of an aircraft for a moment, so a change of the added wind shows first in the
airspeed along the flight, and moves the aircraft sideways and up only as fast as the forces of
sideslip and lift can: with a lag of 2m/(ρSVC), C being the slope of the side or lift force.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.scenario.exercise import Exercise, ShearEvent
from trainer.units import FT, STEP_S, STEPS_PER_S
from trainer.world.motion import State
from trainer.world.turbulence import Turbulence
from trainer.world.wind import Shear, components


class Added(NamedTuple):
    """Air velocity added to the wind: magnetic east, north and up, m/s."""

    east_ms: float
    north_ms: float
    up_ms: float


SIDE_FORCE_PER_RAD = 0.9
"""Side force by sideslip of a whole aircraft, per radian (from memory: 0.7 to 1.0)."""
LIFT_PER_RAD = 5.0
"""Lift by angle of attack of a whole aircraft, per radian (from memory: 4.5 to 5.5)."""

_DENSITY_KG_M3 = 1.225

STILL = Added(0.0, 0.0, 0.0)


class UnsteadyAir:
    """The added air velocity along one flight; calm unless the weather or an event says so."""

    def __init__(self, exercise: Exercise, elevation_m: float) -> None:
        kt = exercise.weather.turbulence_kt
        self._turbulence = Turbulence(exercise.seed, kt) if kt > 0.0 else None
        self._elevation_m = elevation_m
        self._shears: list[Shear] = []
        loading_m = (
            2000.0 * exercise.start.mass_t / (_DENSITY_KG_M3 * exercise.aircraft.wing_area_m2)
        )
        self._side_m = loading_m / SIDE_FORCE_PER_RAD
        self._lift_m = loading_m / LIFT_PER_RAD
        self._air = STILL
        self._cross_ms = self._up_ms = 0.0
        self.now = STILL
        self.is_calm = self._turbulence is None

    def begin(self, event: ShearEvent, step: int) -> None:
        """Start a shear at `step`; heights of the event are above the field."""
        east_ms, north_ms = components(event.from_deg, event.speed_kt)
        self._shears.append(
            Shear(
                start_s=step / STEPS_PER_S,
                rise_s=event.rise_s,
                hold_s=event.hold_s if event.hold_s > 0.0 else math.inf,
                fall_s=event.rise_s,
                east_ms=east_ms,
                north_ms=north_ms,
                bottom_m=self._elevation_m + event.bottom_ft * FT,
                top_m=self._elevation_m + event.top_ft * FT,
            )
        )
        self.is_calm = False

    def end(self) -> None:
        """Add nothing any more: on the ground the wheels hold the aircraft."""
        self.now = self._air = STILL
        self._cross_ms = self._up_ms = 0.0

    def added(self, step: int, height_m: float, tas_ms: float, heading_rad: float) -> Added:
        """What is added at `step` to the wind at `height_m` above sea level."""
        east_ms = north_ms = up_ms = 0.0
        if self._turbulence is not None:
            above_m = max(0.0, height_m - self._elevation_m)
            along_ms, cross_ms, up_ms = self._turbulence.gust(step, above_m, tas_ms)
            sine, cosine = math.sin(heading_rad), math.cos(heading_rad)
            east_ms = along_ms * sine + cross_ms * cosine
            north_ms = along_ms * cosine - cross_ms * sine
        for shear in self._shears:
            east, north = shear.added(step / STEPS_PER_S, height_m)
            east_ms += east
            north_ms += north
        return Added(east_ms, north_ms, up_ms)

    def carried(self, state: State, step: int) -> State:
        """`state` with what the air adds until `step`.

        Along the heading the aircraft is carried with the added air, and a change of that shows in
        the airspeed at once, for inertia keeps the ground speed; `now` is what moves it.
        """
        before = self._air
        air = self._air = self.added(step, state.height_m, state.tas_ms, state.heading_rad)
        sine, cosine = math.sin(state.heading_rad), math.cos(state.heading_rad)
        along_ms = air.east_ms * sine + air.north_ms * cosine
        change_ms = along_ms - (before.east_ms * sine + before.north_ms * cosine)
        cross_ms = air.east_ms * cosine - air.north_ms * sine
        flown_m = STEP_S * state.tas_ms
        self._cross_ms += min(1.0, flown_m / self._side_m) * (cross_ms - self._cross_ms)
        self._up_ms += min(1.0, flown_m / self._lift_m) * (air.up_ms - self._up_ms)
        cross_ms = self._cross_ms
        now = self.now = Added(
            along_ms * sine + cross_ms * cosine, along_ms * cosine - cross_ms * sine, self._up_ms
        )
        return state._replace(
            x_m=state.x_m + STEP_S * now.east_ms,
            y_m=state.y_m + STEP_S * now.north_ms,
            height_m=state.height_m + STEP_S * now.up_ms,
            tas_ms=state.tas_ms - change_ms,
        )
