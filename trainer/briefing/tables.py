"""Descent tables: the path's altitude by distance, the rate by ground speed, the time to fly.

Owns plain geometry and knows no exercise. Surprising rule: two altitudes are given, one over a
flat earth as most published tables have it, one over the round earth, which is where a straight
beam is met. Both are altitudes on the right setting in standard air: the effect of temperature on
an altimeter is not in them.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import DEG, FPM, FT, KT, NM
from trainer.world.radio import path_height_m

GROUND_SPEEDS_KT = (
    60, 70, 75, 80, 90, 100, 105, 110, 120, 130, 135, 140, 150, 160, 165, 170, 180,
)  # fmt: skip
"""Ground speeds of the tables, kt: tens, and the multiples of 15 that published tables have."""


class PathAltitude(NamedTuple):
    """The path at one distance: altitude over a flat earth and over the round one, ft."""

    flat_ft: float
    curved_ft: float


def path_altitude(
    distance_nm: float, angle_deg: float, crossing_ft: float, elevation_ft: float
) -> PathAltitude:
    """Altitude (ft) of the path `distance_nm` (0..60) before the threshold.

    `angle_deg` of the path, `crossing_ft` its height over the threshold, `elevation_ft` of the
    threshold. Over the round earth it is 0.883 ft times the square of the distance in NM higher.
    """
    heights = [
        path_height_m(distance_nm * NM, angle_deg * DEG, crossing_ft * FT, is_curved) / FT
        for is_curved in (False, True)
    ]
    return PathAltitude(elevation_ft + heights[0], elevation_ft + heights[1])


def feet_per_mile(angle_deg: float) -> float:
    """Descent of a path per nautical mile, ft (318.4 for 3°)."""
    return math.tan(angle_deg * DEG) * NM / FT


def descent_rate_fpm(ground_speed_kt: float, angle_deg: float) -> float:
    """Rate of descent (ft/min) that keeps a path at a ground speed."""
    return ground_speed_kt * KT * math.tan(angle_deg * DEG) / FPM


def seconds_to_fly(distance_nm: float, ground_speed_kt: float) -> float:
    """Time (s) to fly a distance at a ground speed (above 0 kt)."""
    return distance_nm * NM / (ground_speed_kt * KT)


def minutes_text(time_s: float) -> str:
    """A time as minutes and seconds, to the nearest second: "3:20"."""
    minutes, seconds = divmod(round(time_s), 60)
    return f"{minutes}:{seconds:02d}"
