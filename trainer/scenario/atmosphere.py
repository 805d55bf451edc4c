"""The air and the wind of an exercise, from its weather: one reading of it for everybody.

Surprising rule: temperature is given at the field, so the deviation from the standard atmosphere
is taken at the elevation of the runway.
"""

from __future__ import annotations

from trainer.scenario.exercise import Runway, Weather
from trainer.units import FT
from trainer.world.air import Air
from trainer.world.wind import Wind, components

_ISA_SEA_LEVEL_C = 15.0
_ISA_LAPSE_C_PER_FT = 0.0065 * FT


def air_of(weather: Weather, runway: Runway) -> Air:
    """The air over the runway."""
    isa_c = _ISA_SEA_LEVEL_C - _ISA_LAPSE_C_PER_FT * runway.elevation_ft
    return Air(weather.temperature_c - isa_c, weather.qnh_hpa, runway.elevation_ft * FT)


def wind_of(weather: Weather, runway: Runway) -> Wind:
    """The wind in layers above sea level; layers are written above the runway."""
    elevation_m = runway.elevation_ft * FT
    return Wind(
        tuple(
            (elevation_m + layer.height_ft * FT, *components(layer.from_deg, layer.speed_kt))
            for layer in weather.wind
        )
    )
