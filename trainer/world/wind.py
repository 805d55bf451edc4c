"""Wind by height, what it does to a course, and the shear that passes through it.

Owns the layers of one flight, the wind triangle and the events of wind. It knows no turbulence.
The surprising rule: components are the velocity of the air, *towards* east and north, whereas a
reported wind is the direction it comes *from*; `components` and `reported` are the only places
that turn it. Between two winds the *components* are interpolated, so 350° to 010° passes north.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from trainer.units import DEG, KT


def components(from_deg: float, speed_kt: float) -> tuple[float, float]:
    """East and north velocity (m/s) of a wind reported from `from_deg` at `speed_kt` (0..100).

    The direction must refer to the same north as the course it is used with.
    """
    speed_ms = speed_kt * KT
    return -speed_ms * math.sin(from_deg * DEG), -speed_ms * math.cos(from_deg * DEG)


def reported(east_ms: float, north_ms: float) -> tuple[float, float]:
    """Direction it comes from (°, 0 ≤ d < 360; 0 when calm) and speed (kt) of a wind."""
    speed_kt = math.hypot(east_ms, north_ms) / KT
    if speed_kt == 0.0:
        return 0.0, 0.0
    return math.atan2(-east_ms, -north_ms) / DEG % 360.0, speed_kt


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

    __slots__ = ("_bands", "_tops_m", "layers")

    def __init__(self, layers: Sequence[tuple[float, float, float]] = ()) -> None:
        """`layers`: (height above sea level m, east m/s, north m/s) in rising order of height.

        No layer at all is calm air. ValueError if heights do not rise.
        """
        self.layers = tuple(layers) or ((0.0, 0.0, 0.0),)
        # One band per stretch: (east at height 0, east per metre, north at 0, north per metre),
        # so that a look-up is one search among the tops and two products.
        lowest, highest = self.layers[0], self.layers[-1]
        bands = [(lowest[1], 0.0, lowest[2], 0.0)]
        for lower, upper in zip(self.layers, self.layers[1:], strict=False):
            depth_m = upper[0] - lower[0]
            if depth_m <= 0.0:
                raise ValueError("wind layers must rise")
            east_per_m = (upper[1] - lower[1]) / depth_m
            north_per_m = (upper[2] - lower[2]) / depth_m
            east_ms = lower[1] - east_per_m * lower[0]
            north_ms = lower[2] - north_per_m * lower[0]
            bands.append((east_ms, east_per_m, north_ms, north_per_m))
        bands.append((highest[1], 0.0, highest[2], 0.0))
        self._bands = tuple(bands)
        self._tops_m = tuple(layer[0] for layer in self.layers)

    def sample(self, height_m: float) -> tuple[float, float, float, float]:
        """East, north (m/s) and their change per metre of height, at `height_m`."""
        band = self._bands[bisect_right(self._tops_m, height_m)]
        east, east_per_m, north, north_per_m = band
        return east + east_per_m * height_m, north + north_per_m * height_m, east_per_m, north_per_m

    def at(self, height_m: float) -> tuple[float, float]:
        """East and north velocity of the air (m/s) at `height_m` above sea level."""
        east_ms, north_ms, _, _ = self.sample(height_m)
        return east_ms, north_ms

    def gradient(self, height_m: float) -> tuple[float, float]:
        """Change of the east and north components with height, (m/s)/m, at `height_m`."""
        _, _, east_per_m, north_per_m = self.sample(height_m)
        return east_per_m, north_per_m


class Shear(NamedTuple):
    """A change of the wind in a layer and for a time: values that are added to the wind.

    Grows from `start_s` over `rise_s`, stays for `hold_s` (infinite for good), goes over `fall_s`.
    Full between `bottom_m` and `top_m` above sea level, none `edge_m` beyond them, straight lines
    between. `east_ms`, `north_ms` velocity added at its full strength.
    """

    start_s: float
    rise_s: float
    hold_s: float
    fall_s: float
    east_ms: float
    north_ms: float
    bottom_m: float = -math.inf
    top_m: float = math.inf
    edge_m: float = 30.0

    def added(self, time_s: float, height_m: float) -> tuple[float, float]:
        """East and north velocity (m/s) to add at `time_s` of the flight and `height_m`."""
        share = pulse(time_s - self.start_s, self.rise_s, self.hold_s, self.fall_s)
        outside_m = max(self.bottom_m - height_m, height_m - self.top_m, 0.0)
        share *= 1.0 if outside_m == 0.0 else max(0.0, 1.0 - outside_m / max(self.edge_m, 1e-9))
        return self.east_ms * share, self.north_ms * share


def pulse(since_s: float, rise_s: float, hold_s: float, fall_s: float) -> float:
    """Share (0..1) of an event `since_s` after its start: straight up, level, straight down."""
    if since_s < 0.0:
        return 0.0
    if since_s < rise_s:
        return since_s / rise_s
    after_s = since_s - rise_s - hold_s
    if after_s <= 0.0:
        return 1.0
    return max(0.0, 1.0 - after_s / fall_s) if fall_s > 0.0 else 0.0
