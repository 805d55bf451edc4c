"""What the pilot sees outside: the runway, its approach lights or nothing, as the weather is now.

Owns the weather that can be seen and what events make of it. The air itself does not change here.
"""

from __future__ import annotations

from trainer.scenario.exercise import Exercise, Weather, WeatherChange
from trainer.units import FT
from trainer.world.sight import what_is_seen
from trainer.world.weather import VisualRange

_LIGHTS_REACH_M = 1000.0
"""The outermost approach light is nearer to the threshold than this, m."""
_OVERFLOWN_M = -3000.0
"""So far beyond the threshold (negative) there is nothing left to look for, m."""


class Outside:
    """The view along one approach; further than `reach_m` before the threshold nothing is seen.

    `is_icing`: whether there is ice on the aircraft.
    """

    def __init__(self, exercise: Exercise) -> None:
        self._runway = exercise.approach.runway
        self._become(exercise.weather)

    def change(self, change: WeatherChange) -> None:
        """From now on the weather is another one."""
        self._become(self._weather.after(change))

    def _become(self, weather: Weather) -> None:
        self._weather, self.is_icing = weather, weather.is_icing
        self.reach_m = weather.visibility_m + _LIGHTS_REACH_M
        self._ceiling_m = None if weather.ceiling_ft is None else weather.ceiling_ft * FT
        ranges_m = VisualRange(*weather.runway_ranges_m)
        self._visual_range = None if ranges_m == VisualRange() else ranges_m

    def sees(self, along_m: float, radio_m: float) -> str:
        """What is in sight `along_m` before the threshold and `radio_m` above it: see `sight`."""
        weather, runway = self._weather, self._runway
        if along_m > self.reach_m or along_m < _OVERFLOWN_M:
            return ""
        ranges_m = self._visual_range
        return what_is_seen(
            along_m,
            radio_m,
            weather.visibility_m,
            self._ceiling_m,
            runway.lights,
            weather.lights_on,
            None if ranges_m is None else ranges_m.at(-along_m, runway.length_m),
        )
