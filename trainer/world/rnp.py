"""Deviations of a satellite approach, and the level of service it may be flown to.

Owns the linear and the angular scales and the integrity limits of each level. Refuses to know
satellites: how well a position is known (the protection levels) is given, never computed.

Surprising rule: the same needle means metres or degrees. LNAV and a barometric path are linear,
a dot is as wide at the threshold as at the fix; LPV is angular like an ILS, but only between its
outer and inner limits. And a barometric path *is* the altimeter: its deviation is a difference of
indicated altitudes, so a wrong setting cannot be seen on it.
"""

from __future__ import annotations

import math
from dataclasses import field
from typing import NamedTuple

from trainer.units import FT, NM
from trainer.values import dataclass
from trainer.world.reception import stopped

BARO_DOT_M = 75.0 * FT
"""One dot of a barometric path, m: the deviation that ends an approach (ICAO Doc 9613)."""
LPV_HALF_WIDTH_M = 350.0 * FT
"""Full-scale deviation of LPV over the threshold, m (700 ft in all; FAA AIM 1-1-18 d)."""
GARP_BEYOND_END_M = 305.0
"""The origin of the LPV course lies this far beyond the end of the runway, m (RTCA DO-229, from
memory)."""
LPV_WIDEST_M = 1.0 * NM
"""Full scale of LPV sideways grows no further than this, m (FAA AIM 1-1-18 d)."""
LPV_VERTICAL_PARTS = 0.25
"""Full scale of LPV up and down in parts of the path angle (RTCA DO-229, from memory)."""
LPV_TALLEST_M = 150.0
"""Full scale of LPV up and down far out, m (RTCA DO-229, from memory)."""
LPV_LOWEST_M = 15.0
"""Full scale of LPV up and down close in, m (RTCA DO-229, from memory)."""


class Deviation(NamedTuple):
    """A computed deviation: dots (two = full scale, held at ±2.5, positive right or above).

    offset_m: the same in metres. full_scale_m: what two dots are worth here, m.
    """

    dots: float
    offset_m: float
    full_scale_m: float


def _deviation(offset_m: float, full_scale_m: float) -> Deviation:
    return Deviation(stopped(2.0 * offset_m / full_scale_m), offset_m, full_scale_m)


def linear_lateral(cross_track_m: float, rnp_m: float, is_narrow: bool = False) -> Deviation:
    """Deviation from a leg on a linear scale.

    Args:
        cross_track_m: right of the leg positive, m.
        rnp_m: required navigation performance of the leg, m (> 0; 0.3 NM on a final).
        is_narrow: full scale is once the RNP value instead of twice. Twice is the widest that is
            accepted; one dot then is where the approach must be left.

    Source: display no wider than twice the RNP value, FAA AC 20-138 (from memory).
    """
    return _deviation(cross_track_m, rnp_m if is_narrow else 2.0 * rnp_m)


def baro_vertical(altitude_m: float, path_altitude_m: float) -> Deviation:
    """Deviation from a barometric path: 75 ft a dot, at every distance.

    Args:
        altitude_m: as the altimeter shows it, m.
        path_altitude_m: altitude of the path at this place, m.

    Source: ±75 ft on the final segment, ICAO Doc 9613 Vol II (RNP APCH), FAA AC 90-105.
    """
    return _deviation(altitude_m - path_altitude_m, 2.0 * BARO_DOT_M)


@dataclass(frozen=True, slots=True)
class LpvPath:
    """The final segment of an LPV approach; its threshold is the origin of the plane.

    Attributes:
        course_rad: final course, rad clockwise from magnetic north.
        angle_rad: path angle, rad.
        crossing_height_m: height of the path over the threshold, m.
        runway_length_m: threshold to end, m (> 0).
        half_width_m: full-scale deviation over the threshold, m.
    """

    course_rad: float
    angle_rad: float
    crossing_height_m: float
    runway_length_m: float
    half_width_m: float = LPV_HALF_WIDTH_M
    _sin: float = field(init=False, repr=False, compare=False)
    _cos: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_sin", math.sin(self.course_rad))
        object.__setattr__(self, "_cos", math.cos(self.course_rad))

    def lateral(self, x_m: float, y_m: float) -> Deviation:
        """Deviation from the course: angular about its origin, at most 1 NM full scale.

        Past the threshold full scale stays what it is there.
        """
        offset = x_m * self._cos - y_m * self._sin
        before = max(-(x_m * self._sin + y_m * self._cos), 0.0)
        origin = self.runway_length_m + GARP_BEYOND_END_M
        scale = self.half_width_m * (before + origin) / origin
        return _deviation(offset, min(scale, LPV_WIDEST_M))

    def vertical(self, x_m: float, y_m: float, height_m: float) -> Deviation:
        """Deviation from the path; height above the tangent plane, m.

        Full scale is a quarter of the path angle seen from its foot, between 15 and 150 m.
        """
        before = -(x_m * self._sin + y_m * self._cos)
        along = before + self.crossing_height_m / math.tan(self.angle_rad)
        scale = along * math.tan(LPV_VERTICAL_PARTS * self.angle_rad)
        full_scale = min(max(scale, LPV_LOWEST_M), LPV_TALLEST_M)
        return _deviation(height_m - along * math.tan(self.angle_rad), full_scale)


class Service(NamedTuple):
    """A level of service with its integrity limits, m (infinite = no limit)."""

    name: str
    horizontal_m: float
    vertical_m: float


LPV_200 = Service("LPV", 40.0, 35.0)
"""LPV to minima below 250 ft."""
LPV = Service("LPV", 40.0, 50.0)
"""LPV to minima of 250 ft and above."""
LNAV_VNAV = Service("LNAV/VNAV", 556.0, 50.0)
"""Lateral as LNAV, vertical from satellites, or from the altimeter whatever the satellites say."""
LNAV = Service("LNAV", 556.0, math.inf)
"""Lateral guidance only."""


def service_level(
    horizontal_m: float, vertical_m: float, has_baro: bool = False, is_below_250: bool = False
) -> str:
    """The best level of service a position supports: LPV, LNAV/VNAV, LNAV or "".

    Args:
        horizontal_m: horizontal protection level, m.
        vertical_m: vertical protection level, m (infinite where there is none).
        has_baro: whether a barometric path is fitted and within its temperature limits.
        is_below_250: whether the LPV minima lie below 250 ft above the runway.

    Source: limits 40, 50 (35) and 556 m, FAA AIM 1-1-18.
    """
    best = LPV_200 if is_below_250 else LPV
    for service in (best, LNAV_VNAV, LNAV):
        if horizontal_m <= service.horizontal_m and vertical_m <= service.vertical_m:
            is_baro_better = service is LNAV and has_baro
            return LNAV_VNAV.name if is_baro_better else service.name
    return ""


def downgraded(held: str, available: str) -> str:
    """The level in use after a change: it may fall, and never rises again on the same approach.

    Source: FAA AIM 1-1-18: no change back to a more accurate level until the next approach.
    """
    order = ("", LNAV.name, LNAV_VNAV.name, LPV.name)
    return order[min(order.index(held), order.index(available))]
