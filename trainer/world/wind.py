"""Wind by height, and what it does to a course.

Owns the layers of one flight and the wind triangle. It knows no gusts and no turbulence. The
surprising rule: components are the velocity of the air, *towards* east and north, whereas a
reported wind is the direction it comes *from*; `components` is the only place that turns it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from trainer.units import DEG, KT


def components(from_deg: float, speed_kt: float) -> tuple[float, float]:
    """East and north velocity (m/s) of a wind reported from `from_deg` at `speed_kt` (0..100).

    The direction must refer to the same north as the course it is used with.
    """
    speed_ms = speed_kt * KT
    return -speed_ms * math.sin(from_deg * DEG), -speed_ms * math.cos(from_deg * DEG)


def head_and_cross(east_ms: float, north_ms: float, course_rad: float) -> tuple[float, float]:
    """Headwind and crosswind (m/s) on `course_rad`: head from ahead, cross from the right."""
    east, north = math.sin(course_rad), math.cos(course_rad)
    return -(east_ms * east + north_ms * north), -(east_ms * north - north_ms * east)


def wind_triangle(
    tas_ms: float, track_rad: float, east_ms: float, north_ms: float
) -> tuple[float, float]:
    """Heading (rad) that makes good `track_rad`, and the ground speed (m/s).

    ValueError when the crosswind is not less than the true airspeed.
    """
    head_ms, cross_ms = head_and_cross(east_ms, north_ms, track_rad)
    if abs(cross_ms) >= tas_ms:
        raise ValueError("crosswind is not less than the true airspeed")
    drift_rad = math.asin(cross_ms / tas_ms)
    return track_rad + drift_rad, tas_ms * math.cos(drift_rad) - head_ms


class Wind:
    """Straight-line interpolation of the two components between layers, constant outside."""

    __slots__ = ("_bands", "layers")

    def __init__(self, layers: Sequence[tuple[float, float, float]] = ()) -> None:
        """`layers`: (height above sea level m, east m/s, north m/s) in rising order of height.

        No layer at all is calm air. ValueError if heights do not rise.
        """
        self.layers = tuple(layers) or ((0.0, 0.0, 0.0),)
        # One band per stretch: (top, east at height 0, east per metre, north at 0, north per
        # metre), so that a look-up is one comparison per band and two products.
        lowest = self.layers[0]
        bands = [(lowest[0], lowest[1], 0.0, lowest[2], 0.0)]
        for lower, upper in zip(self.layers, self.layers[1:], strict=False):
            depth_m = upper[0] - lower[0]
            if depth_m <= 0.0:
                raise ValueError("wind layers must rise")
            east_per_m = (upper[1] - lower[1]) / depth_m
            north_per_m = (upper[2] - lower[2]) / depth_m
            bands.append(
                (
                    upper[0],
                    lower[1] - east_per_m * lower[0],
                    east_per_m,
                    lower[2] - north_per_m * lower[0],
                    north_per_m,
                )
            )
        highest = self.layers[-1]
        bands.append((math.inf, highest[1], 0.0, highest[2], 0.0))
        self._bands = tuple(bands)

    @property
    def is_uniform(self) -> bool:
        """Whether the wind is the same at every height."""
        return len(self.layers) == 1

    def sample(self, height_m: float) -> tuple[float, float, float, float]:
        """East, north (m/s) and their change per metre of height, at `height_m`."""
        for top_m, east, east_per_m, north, north_per_m in self._bands:
            if height_m < top_m:
                return (
                    east + east_per_m * height_m,
                    north + north_per_m * height_m,
                    east_per_m,
                    north_per_m,
                )
        raise ValueError("height is not a number")

    def at(self, height_m: float) -> tuple[float, float]:
        """East and north velocity of the air (m/s) at `height_m` above sea level."""
        east_ms, north_ms, _, _ = self.sample(height_m)
        return east_ms, north_ms

    def gradient(self, height_m: float) -> tuple[float, float]:
        """Change of the east and north components with height, (m/s)/m, at `height_m`."""
        _, _, east_per_m, north_per_m = self.sample(height_m)
        return east_per_m, north_per_m
