"""A leg on an arc: a DME arc, or a leg of constant radius to a fix.

Owns where a point stands beside and along an arc in the threshold plane. Refuses to know routes
and turns at their corners (see `legs`).

Surprising rule: past its end an arc continues straight, on its tangent; before its beginning it
continues round.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.values import dataclass

MISFIT_M = 30.0
"""Most that the two ends of an arc may differ in distance from its centre, m (rounded charts)."""


class Arc(NamedTuple):
    """The way round to a waypoint: about a centre (m, as waypoints), clockwise if `is_right`."""

    center_x_m: float
    center_y_m: float
    is_right: bool


class ArcView(NamedTuple):
    """Where a point stands on an arc.

    course_rad: of the arc beside the point, 0..2π. cross_track_m: right of the arc positive.
    to_go_m: along it to its end, negative beyond. turn_radius_m: right positive, 0 beyond the end.
    """

    course_rad: float
    cross_track_m: float
    to_go_m: float
    turn_radius_m: float


@dataclass(frozen=True, slots=True)
class ArcLeg:
    """An arc laid between two points.

    Attributes:
        arc: centre and sense.
        end_x_m, end_y_m: where it ends, m.
        radius_m: distance of its end from the centre, m.
        start_course_rad, end_course_rad: courses at its ends, 0..2π.
        sweep_rad: angle it turns through, 0..2π.
    """

    arc: Arc
    end_x_m: float
    end_y_m: float
    radius_m: float
    start_course_rad: float
    end_course_rad: float
    sweep_rad: float

    @property
    def length_m(self) -> float:
        """Length of the arc, m."""
        return self.sweep_rad * self.radius_m

    def where(self, x_m: float, y_m: float) -> ArcView:
        """Where a point stands beside and along the arc.

        Of what the arc leaves out of its circle, half counts as beyond it, half as before it.
        """
        sense = 1.0 if self.arc.is_right else -1.0
        east, north = x_m - self.arc.center_x_m, y_m - self.arc.center_y_m
        course = math.atan2(east, north) + sense * 0.5 * math.pi
        left = sense * (self.end_course_rad - course) % (2.0 * math.pi)
        if left > math.pi + 0.5 * self.sweep_rad:
            return self._beyond(x_m, y_m)
        return ArcView(
            course % (2.0 * math.pi),
            sense * (self.radius_m - math.hypot(east, north)),
            left * self.radius_m,
            sense * self.radius_m,
        )

    def _beyond(self, x_m: float, y_m: float) -> ArcView:
        east, north = x_m - self.end_x_m, y_m - self.end_y_m
        sin, cos = math.sin(self.end_course_rad), math.cos(self.end_course_rad)
        return ArcView(
            self.end_course_rad, east * cos - north * sin, -east * sin - north * cos, 0.0
        )


def lay(arc: Arc, start_x_m: float, start_y_m: float, end_x_m: float, end_y_m: float) -> ArcLeg:
    """The arc from one point to another.

    Raises:
        ValueError: if the points are not equally far from the centre, or the same.
    """
    sense = 1.0 if arc.is_right else -1.0
    begin_x, begin_y = start_x_m - arc.center_x_m, start_y_m - arc.center_y_m
    finish_x, finish_y = end_x_m - arc.center_x_m, end_y_m - arc.center_y_m
    radius = math.hypot(finish_x, finish_y)
    if radius <= 0.0 or abs(math.hypot(begin_x, begin_y) - radius) > MISFIT_M:
        raise ValueError("not equally far from the centre of their arc")
    begin, finish = math.atan2(begin_x, begin_y), math.atan2(finish_x, finish_y)
    sweep = sense * (finish - begin) % (2.0 * math.pi)
    if sweep <= 0.0:
        raise ValueError("the same place")
    across = sense * 0.5 * math.pi
    return ArcLeg(
        arc,
        end_x_m,
        end_y_m,
        radius,
        (begin + across) % (2.0 * math.pi),
        (finish + across) % (2.0 * math.pi),
        sweep,
    )
