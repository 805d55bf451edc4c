"""The straight path of a final approach, as figures of a chart.

Owns heights along a path and the distances where it reaches them. Refuses to know signals.

Surprising rule: a straight path is met higher on an altimeter than flat trigonometry says,
because the sea falls away below it. Every function says by its argument which is meant.
"""

from __future__ import annotations

import math

from trainer.world.earth import EARTH_RADIUS_M, drop_m


def path_height_m(
    distance_m: float, angle_rad: float, crossing_height_m: float, with_curvature: bool = True
) -> float:
    """Height of a straight path above threshold elevation, m, as a perfect altimeter has it.

    Args:
        distance_m: before the threshold, m (negative beyond it).
        angle_rad: path angle, rad.
        crossing_height_m: height of the path over the threshold, m.
        with_curvature: False reproduces tables drawn on a flat earth.
    """
    height = crossing_height_m + distance_m * math.tan(angle_rad)
    return height + drop_m(distance_m) if with_curvature else height


def path_distance_m(
    height_m: float, angle_rad: float, crossing_height_m: float, with_curvature: bool = True
) -> float:
    """How far before the threshold a straight path reaches a height, m; see `path_height_m`.

    Args:
        height_m: above threshold elevation, m (at least the crossing height).
        angle_rad: path angle, rad (> 0).
        crossing_height_m: height of the path over the threshold, m.
        with_curvature: False for the distance of a flat chart.
    """
    rise = height_m - crossing_height_m
    tangent = math.tan(angle_rad)
    if not with_curvature:
        return rise / tangent
    # The smaller root of d²/2R + d·tan θ − rise = 0, written so that no digits cancel.
    return 2.0 * rise / (tangent + math.sqrt(tangent * tangent + 2.0 * rise / EARTH_RADIUS_M))
