"""Coded legs in guidance: where the aircraft stands on them, direct-to, and the coded descent.

Owns the route in use and the descent laid along it. Refuses to know modes. The surprising rule: a
direct leg begins where the turn onto it will end, so that the turn is flown once, not back.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.guidance.modes import Sensed
from trainer.units import FT
from trainer.world.coded_descent import CodedDescent, Constraint, Final, lay
from trainer.world.legs import (
    BANK_SHARE,
    LegView,
    Route,
    Waypoint,
    distance_to_end_m,
    turn_radius_m,
)

_NEAREST_M = 100.0
_AHEAD_S = 4.0
"""How far ahead the slope is taken: half the time in which 0.1 g changes the sink by 8 m/s, so that
a corner of the path is rounded evenly before and after it."""


class Coding(NamedTuple):
    """What a procedure asks of a descent: constraints by fix (distances are laid along the route).

    final_fix: where the last part begins, at `final_ft`. approach_kt, clean_kt: the speeds between
    which it is slowed down before that fix. runway: the point where it ends and the missed approach
    begins; "" = the last of the route.
    """

    constraints: tuple[Constraint, ...]
    final_fix: str
    final_ft: float
    threshold_ft: float
    approach_kt: float
    clean_kt: float
    angle_rad: float
    runway: str = ""


class OnPath(NamedTuple):
    """The coded path where the aircraft is: height above it (m), sink (m/s) that keeps it."""

    error_m: float
    sink_ms: float


def direct_route(route: Route, index: int, sensed: Sensed, bank_limit_rad: float) -> Route:
    """The route from here directly to point `index` and on along the coded legs.

    IndexError for an index without a point.
    """
    target = route.points[index]
    x_m, y_m = _turn_end(sensed, target, bank_limit_rad)
    begin = Waypoint("direct", x_m, y_m)
    there = Waypoint(target.name, target.x_m, target.y_m, target.is_fly_over)
    return Route((begin, there, *route.points[index + 1 :]))


def _turn_end(sensed: Sensed, target: Waypoint, bank_limit_rad: float) -> tuple[float, float]:
    """Where a turn from here rolls out towards `target`; here itself if the turn cannot reach it.

    The tangent from the target to the turn circle, on the side that needs the smaller turn.
    """
    east_m, north_m = target.x_m - sensed.x_m, target.y_m - sensed.y_m
    off_rad = math.remainder(math.atan2(east_m, north_m) - sensed.track_rad, 2.0 * math.pi)
    side = 1.0 if off_rad >= 0.0 else -1.0
    radius_m = turn_radius_m(max(1.0, sensed.ground_speed_ms), BANK_SHARE * bank_limit_rad)
    across_rad = sensed.track_rad + side * 0.5 * math.pi
    center_x_m = sensed.x_m + radius_m * math.sin(across_rad)
    center_y_m = sensed.y_m + radius_m * math.cos(across_rad)
    east_m, north_m = target.x_m - center_x_m, target.y_m - center_y_m
    away_m = math.hypot(east_m, north_m)
    if away_m <= radius_m + _NEAREST_M:
        return sensed.x_m, sensed.y_m
    # From the centre the tangent point lies acos(r/d) off the line to the target, on the side
    # that the aircraft comes from.
    toward_rad = math.atan2(east_m, north_m) - side * math.acos(radius_m / away_m)
    return (
        center_x_m + radius_m * math.sin(toward_rad),
        center_y_m + radius_m * math.cos(toward_rad),
    )


def runway_leg(route: Route, coding: Coding | None) -> int | None:
    """The leg of `route` that leads to the runway; None where the route does not pass it."""
    if coding is None:
        return None
    if not coding.runway:
        return len(route.legs) - 1
    names = [leg.name for leg in route.legs]
    return names.index(coding.runway) if coding.runway in names else None


def descent_along(route: Route, coding: Coding | None) -> CodedDescent | None:
    """The descent of `coding` laid along `route`; None where there is none to lay.

    What the route does not pass (after a direct-to) asks for nothing.
    """
    last = runway_leg(route, coding)
    if coding is None or last is None:
        return None
    to_go_m: dict[str, float] = {}
    left_m = 0.0
    for leg in reversed(route.legs[: last + 1]):
        to_go_m[leg.name] = left_m
        left_m += leg.length_m
    if coding.final_fix not in to_go_m:
        return None
    passed = tuple(
        one._replace(to_go_m=to_go_m[one.name]) for one in coding.constraints if one.name in to_go_m
    )
    final = Final(
        to_go_m[coding.final_fix],
        coding.final_ft,
        coding.threshold_ft,
        coding.approach_kt,
        coding.clean_kt,
    )
    return lay(passed, final, coding.angle_rad)


def on_path(
    descent: CodedDescent, route: Route, view: LegView, last: int | None, sensed: Sensed
) -> OnPath:
    """Where the aircraft stands relative to the coded path, on its altimeter as it is set.

    Constraints are altitudes: a wrong setting and cold air move the whole path, and the slope over
    the ground is what the air makes of it. `last`: the leg to the runway, where the path ends.
    """
    to_go_m = distance_to_end_m(route, view, last)
    along_ms = sensed.ground_speed_ms * math.cos(sensed.track_rad - view.course_rad)
    path_ft, _ = descent.at(to_go_m)
    _, slope = descent.at(to_go_m - along_ms * _AHEAD_S)
    return OnPath((sensed.altitude_ft - path_ft) * FT, along_ms * slope * sensed.warmth)
