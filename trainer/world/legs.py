"""The coded route of a procedure and where an aircraft stands on it.

Owns legs between waypoints in the threshold plane, straight or on an arc (a DME arc, a leg of
constant radius to a fix), and the turn from one to the next. Refuses to know modes and
clearances: what steers along a leg lives in guidance.

Surprising rule: a route never ends. Past its last waypoint the last leg continues straight, so
a final approach leads on over the runway, and the distance to go becomes negative. Past its end
an arc too continues straight, on its tangent.
"""

from __future__ import annotations

import math
from dataclasses import field
from itertools import pairwise
from typing import NamedTuple

from trainer.units import DEG, G
from trainer.values import dataclass
from trainer.world.arcs import Arc, ArcLeg, lay

BANK_SHARE = 0.8
"""Part of the bank limit a turn is planned with, so that the law has some in hand."""
FLY_BY_MAX_RAD = 120.0 * DEG
"""Sharpest turn flown by; a sharper one is led as if it were this one."""


@dataclass(frozen=True, slots=True)
class Waypoint:
    """A named point: x magnetic east, y magnetic north of the threshold, m.

    `is_fly_over`: the turn begins overhead instead of before it. `arc`: the leg that leads here
    is this arc instead of a straight line (without meaning on the first point of a route).
    """

    name: str
    x_m: float
    y_m: float
    is_fly_over: bool = False
    arc: Arc | None = None


@dataclass(frozen=True, slots=True)
class Leg:
    """A leg to the waypoint `name`: course, length, and the turn at its end.

    course_rad: at the end of the leg (and everywhere on a straight one), clockwise from magnetic
    north, 0..2π. length_m: along the leg. turn_rad: change of course at the end, right positive,
    -π..π; 0 on the last leg. lead_tangent: tan(|turn|/2), 0 for no lead. lead_most_m: half of this
    leg or the next, whichever is shorter. arc: None if straight.
    """

    name: str
    end_x_m: float
    end_y_m: float
    course_rad: float
    sin_course: float
    cos_course: float
    length_m: float
    turn_rad: float
    lead_tangent: float
    lead_most_m: float
    arc: ArcLeg | None = None


@dataclass(slots=True)
class LegView:
    """Where the aircraft stands on its route.

    leg_index: the active leg (0 leads from the first waypoint to the second). course_rad: of the
    leg where the aircraft is, on an arc the tangent there. cross_track_m: right of the leg
    positive. to_go_m: along the leg to its end, negative beyond. name: the waypoint the leg leads
    to. turn_radius_m: of the leg here, right positive; 0 where it is straight.
    """

    leg_index: int
    course_rad: float
    cross_track_m: float
    to_go_m: float
    name: str
    turn_radius_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Route:
    """A row of at least two waypoints, no two neighbours in the same place.

    Raises:
        ValueError: for fewer than two waypoints, a leg without length, or an arc whose ends are
            not equally far from its centre.
    """

    points: tuple[Waypoint, ...]
    legs: tuple[Leg, ...] = field(init=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "legs", _legs(self.points))


class _Shape(NamedTuple):
    """Courses at both ends of a leg (rad), its length (m), and its arc if it is one."""

    start_rad: float
    end_rad: float
    length_m: float
    arc: ArcLeg | None


def _legs(points: tuple[Waypoint, ...]) -> tuple[Leg, ...]:
    if len(points) < 2:
        raise ValueError("a route needs at least two waypoints")
    shapes = [_shape(start, end) for start, end in pairwise(points)]
    legs: list[Leg] = []
    for index, shape in enumerate(shapes):
        end = points[index + 1]
        turn = lead_most_m = 0.0
        if index + 1 < len(shapes):
            turn = math.remainder(shapes[index + 1].start_rad - shape.end_rad, 2.0 * math.pi)
            lead_most_m = 0.5 * min(shape.length_m, shapes[index + 1].length_m)
        lead = 0.0 if end.is_fly_over else math.tan(0.5 * min(abs(turn), FLY_BY_MAX_RAD))
        legs.append(
            Leg(
                end.name,
                end.x_m,
                end.y_m,
                shape.end_rad,
                math.sin(shape.end_rad),
                math.cos(shape.end_rad),
                shape.length_m,
                turn,
                lead,
                lead_most_m,
                shape.arc,
            )
        )
    return tuple(legs)


def _shape(start: Waypoint, end: Waypoint) -> _Shape:
    if end.arc is not None:
        try:
            arc = lay(end.arc, start.x_m, start.y_m, end.x_m, end.y_m)
        except ValueError as error:
            raise ValueError(f"{start.name} and {end.name} are {error}") from None
        return _Shape(arc.start_course_rad, arc.end_course_rad, arc.length_m, arc)
    east, north = end.x_m - start.x_m, end.y_m - start.y_m
    length = math.hypot(east, north)
    if length <= 0.0:
        raise ValueError(f"{start.name} and {end.name} are the same place")
    course = math.atan2(east, north) % (2.0 * math.pi)
    return _Shape(course, course, length, None)


def turn_radius_m(speed_ms: float, bank_rad: float) -> float:
    """Radius of a level turn, m: V²/(g·tan φ).

    Args:
        speed_ms: true airspeed, or ground speed for a track over the ground, m/s.
        bank_rad: bank, rad (above 0, below π/2).
    """
    return speed_ms * speed_ms / (G * math.tan(bank_rad))


def anticipation_m(turn_rad: float, speed_ms: float, bank_rad: float) -> float:
    """How far before a fly-by waypoint the turn begins, m: R·tan(|Δχ|/2).

    Source: ICAO Doc 8168 Vol II, III-3-8. Turns beyond 120° are led as 120°. Onto or off an arc
    the lead is that of its tangent.
    """
    half = 0.5 * min(abs(turn_rad), FLY_BY_MAX_RAD)
    return turn_radius_m(speed_ms, bank_rad) * math.tan(half)


def cross_track_m(leg: Leg, x_m: float, y_m: float) -> float:
    """Distance right of the leg, m (left negative)."""
    if leg.arc is not None:
        return leg.arc.where(x_m, y_m).cross_track_m
    east, north = x_m - leg.end_x_m, y_m - leg.end_y_m
    return east * leg.cos_course - north * leg.sin_course


def to_go_m(leg: Leg, x_m: float, y_m: float) -> float:
    """Distance along the leg to its end, m (negative beyond it)."""
    if leg.arc is not None:
        return leg.arc.where(x_m, y_m).to_go_m
    return (leg.end_x_m - x_m) * leg.sin_course + (leg.end_y_m - y_m) * leg.cos_course


def follow(
    route: Route,
    leg_index: int,
    x_m: float,
    y_m: float,
    ground_speed_ms: float,
    bank_limit_rad: float,
) -> LegView:
    """Where the aircraft stands, having moved on to the next leg if its turn is due.

    Args:
        route: the coded route.
        leg_index: active leg until now, 0..len(route.legs) - 1.
        x_m: magnetic east of the threshold, m.
        y_m: magnetic north of the threshold, m.
        ground_speed_ms: ground speed, m/s; it sets the lead, so a following wind is covered.
        bank_limit_rad: bank limit of the guidance, rad; 0.8 of it is planned with.

    A leg is left at the fly-by lead, at latest abeam its end. The lead is held to half
    the length of the shorter of the two legs, so that no leg is skipped unflown.
    """
    legs = route.legs
    leg = legs[leg_index]
    left = to_go_m(leg, x_m, y_m)
    last = len(legs) - 1
    # The radius is asked for only where the turn can have begun.
    while leg_index < last and left <= leg.lead_most_m:
        radius = turn_radius_m(ground_speed_ms, BANK_SHARE * bank_limit_rad)
        if left > radius * leg.lead_tangent:
            break
        leg_index += 1
        leg = legs[leg_index]
        left = to_go_m(leg, x_m, y_m)
    if leg.arc is not None:
        there = leg.arc.where(x_m, y_m)
        return LegView(
            leg_index,
            there.course_rad,
            there.cross_track_m,
            there.to_go_m,
            leg.name,
            there.turn_radius_m,
        )
    across = cross_track_m(leg, x_m, y_m)
    return LegView(leg_index, leg.course_rad, across, left, leg.name)


def distance_to_end_m(route: Route, view: LegView, last: int | None = None) -> float:
    """Distance along the route from where the aircraft stands to the end of leg `last`, m.

    Without `last` to the last waypoint. Corners are measured at the waypoint (no allowance for the
    turn); negative beyond the end.
    """
    end = len(route.legs) if last is None else last + 1
    total = view.to_go_m
    for leg in route.legs[view.leg_index + 1 : end]:
        total += leg.length_m
    for leg in route.legs[end : view.leg_index + 1]:
        total -= leg.length_m
    return total
