"""What the air does beyond its steady wind: turbulence and shear, as velocity added to the wind.

Turbulence is drawn from the seed of the exercise; a shear begins when its event happens. Inertia
keeps the ground speed of an aircraft for a moment, so a change of the added wind shows first in
the airspeed.
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


STILL = Added(0.0, 0.0, 0.0)


class UnsteadyAir:
    """The added air velocity along one flight; calm unless the weather or an event says so."""

    def __init__(self, exercise: Exercise, elevation_m: float) -> None:
        kt = exercise.weather.turbulence_kt
        self._turbulence = Turbulence(exercise.seed, kt) if kt > 0.0 else None
        self._elevation_m = elevation_m
        self._shears: list[Shear] = []
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
        self.now = STILL

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

        The aircraft is carried along with the added air; a change of it along the heading shows
        in the airspeed at once, for inertia keeps the ground speed.
        """
        before = self.now
        now = self.now = self.added(step, state.height_m, state.tas_ms, state.heading_rad)
        along_ms = (now.east_ms - before.east_ms) * math.sin(state.heading_rad)
        along_ms += (now.north_ms - before.north_ms) * math.cos(state.heading_rad)
        return state._replace(
            x_m=state.x_m + STEP_S * now.east_ms,
            y_m=state.y_m + STEP_S * now.north_ms,
            height_m=state.height_m + STEP_S * now.up_ms,
            tas_ms=state.tas_ms - along_ms,
        )
