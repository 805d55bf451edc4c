"""The way from the start to the final fix, as the sheet shows it.

Owns which fixes are passed, in their order. Surprising rules: a leg that ends behind the start is
not on the way; and a fix that lies on the straight line to the first coded fix is passed, too,
though no leg of the exercise names it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.scenario.exercise import Exercise, Fix, Leg
from trainer.units import DEG, NM
from trainer.world.arcs import lay

ON_LINE_M = 0.1 * NM
"""How far (m) beside the straight line a fix may lie that is still passed on it."""


class RouteFix(NamedTuple):
    """A fix on the way: magnetic course into it (° above 0 to 360), NM flown since the one before.

    On an arc the course is that of its end, and the distance is that along it.

    `leg` holds its constraint and speed limit, both empty where no leg of the exercise names it.
    """

    leg: Leg
    course_deg: float
    leg_nm: float


def route(exercise: Exercise) -> tuple[RouteFix, ...]:
    """Every fix from the start to the last leg, in the order in which they are passed."""
    start, coded = exercise.start, exercise.legs_ahead
    names = {leg.fix.name for leg in exercise.approach.legs}
    ahead = [*_on_the_way(exercise, coded[0].fix, names), *coded]
    found: list[RouteFix] = []
    x_m, y_m = start.x_m, start.y_m
    for leg in ahead:
        course_rad, length_m = course_and_length(leg, x_m, y_m)
        found.append(RouteFix(leg, course_rad / DEG % 360.0 or 360.0, length_m / NM))
        x_m, y_m = leg.fix.x_m, leg.fix.y_m
    return tuple(found)


def course_and_length(leg: Leg, x_m: float, y_m: float) -> tuple[float, float]:
    """Course (rad) into the fix of `leg` from a point, and the way there (m), round on an arc."""
    if leg.arc is not None:
        laid = lay(leg.arc, x_m, y_m, leg.fix.x_m, leg.fix.y_m)
        return laid.end_course_rad, laid.length_m
    east_m, north_m = leg.fix.x_m - x_m, leg.fix.y_m - y_m
    return math.atan2(east_m, north_m), math.hypot(east_m, north_m)


def arc_text(leg: Leg) -> str:
    """The arc of a leg in words, such as "arc right round MRW"; "" for a straight leg."""
    if leg.arc is None:
        return ""
    return f"arc {'right' if leg.arc.is_right else 'left'} round {leg.round}"


def _on_the_way(exercise: Exercise, to: Fix, coded: set[str]) -> list[Leg]:
    """Fixes between the start and `to` that no leg names, the first one first."""
    start = exercise.start
    east_m, north_m = to.x_m - start.x_m, to.y_m - start.y_m
    length_m = math.hypot(east_m, north_m)
    if length_m == 0.0:
        return []
    found: list[tuple[float, Leg]] = []
    for fix in exercise.airport.fixes:
        x_m, y_m = fix.x_m - start.x_m, fix.y_m - start.y_m
        along_m = (x_m * east_m + y_m * north_m) / length_m
        beside_m = (x_m * north_m - y_m * east_m) / length_m
        is_between = ON_LINE_M < along_m < length_m - ON_LINE_M
        if fix.name not in coded and is_between and abs(beside_m) <= ON_LINE_M:
            found.append((along_m, Leg(fix, "", 0.0, 0.0)))
    found.sort(key=lambda one: one[0])
    return [leg for _, leg in found]
