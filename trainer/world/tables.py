"""Descent tables: the path by distance, rates, times, top of descent, visual descent point.

Owns plain geometry and knows no exercise. Surprising rule: two altitudes are given, one over a
flat earth as most published tables have it, one over the round earth, which is where a straight
beam is met. Both are altitudes on the right setting in standard air: the effect of temperature on
an altimeter is `altimetry`. A function whose name begins with `rule_` is a rule of the trade, kept
beside the exact one so that a sheet can show both.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import DEG, FPM, FT, KT, NM
from trainer.world.path import path_height_m


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


def path_distance_nm(height_ft: float, angle_deg: float, crossing_ft: float) -> float:
    """Distance (NM) before the threshold where the path is `height_ft` above it, flat earth.

    Negative for a height below the crossing height. The way to a decision point, or to the fix
    where a level is left.
    """
    return (height_ft - crossing_ft) / feet_per_mile(angle_deg)


def feet_per_mile(angle_deg: float) -> float:
    """Descent of a path per nautical mile, ft (318.4 for 3°)."""
    return math.tan(angle_deg * DEG) * NM / FT


def descent_rate_fpm(ground_speed_kt: float, angle_deg: float) -> float:
    """Rate of descent (ft/min) that keeps a path at a ground speed."""
    return ground_speed_kt * KT * math.tan(angle_deg * DEG) / FPM


def rule_descent_rate_fpm(ground_speed_kt: float) -> float:
    """Five times the ground speed, for about 3° (FAA Airplane Flying Handbook); 6 % low."""
    return 5.0 * ground_speed_kt


def ground_speed_for_kt(rate_fpm: float, angle_deg: float) -> float:
    """Ground speed (kt) at which a path takes `rate_fpm`: above 188 kt a 3° path needs 1,000."""
    return rate_fpm * FPM / math.tan(angle_deg * DEG) / KT


def seconds_to_fly(distance_nm: float, ground_speed_kt: float) -> float:
    """Time (s) to fly a distance at a ground speed (above 0 kt)."""
    return distance_nm * NM / (ground_speed_kt * KT)


def descent_distance_nm(height_ft: float, rate_fpm: float, ground_speed_kt: float) -> float:
    """Distance (NM) over which `height_ft` is lost at a rate (above 0) and a ground speed."""
    return height_ft / rate_fpm * ground_speed_kt / 60.0


def rule_top_of_descent_nm(height_ft: float, slow_kt: float = 0.0, tail_kt: float = 0.0) -> float:
    """Three miles a thousand feet, 1 NM for each 10 kt to slow and of tailwind (common practice).

    That is a path of 3.14°.
    """
    return 3.0 * height_ft / 1000.0 + slow_kt / 10.0 + tail_kt / 10.0


def visual_descent_point_nm(height_ft: float, angle_deg: float, crossing_ft: float) -> float:
    """Distance (NM) before the threshold where `height_ft` (minimum above it) meets the path."""
    return path_distance_nm(height_ft, angle_deg, crossing_ft)


def rule_visual_descent_point_nm(height_ft: float) -> float:
    """Height above the threshold over 300: the rule for 3°, early by a quarter mile at 600 ft."""
    return height_ft / 300.0


def rule_visual_descent_time_s(total_s: float, height_ft: float) -> float:
    """Time (s) from the final fix to the visual descent point: height over ten before the end.

    `total_s` from the fix to the missed approach point; `height_ft` of the minimum above the
    threshold (common practice).
    """
    return total_s - height_ft / 10.0
