"""The descent of a coded procedure: an altitude for every distance to go, and speeds to keep.

Owns the path that is laid backwards through the constraints of the legs, with level parts to slow
down in. Refuses to know modes and aircraft. The surprising rule: it is made from the end, so what
is crossed last decides where the descent begins; and it is a path of the altimeter, not of the
earth, so a wrong setting moves it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import FT, NM
from trainer.values import dataclass

SLOWING_KT_PER_NM = 10.0
"""Deceleration planned for in level flight, kt per NM (rule of thumb for transport jets, FAA
Airplane Flying Handbook)."""
UNLIMITED_KT = 250.0
"""Speed planned for before the first limit, kt (14 CFR 91.117 below 10,000 ft)."""


class Constraint(NamedTuple):
    """What a fix asks for.

    to_go_m: distance along the legs from the fix to the runway (0 or more). kind: "at", "above"
    or "" for no altitude; altitude_ft indicated. limit_kt: speed limit from the fix on, 0 for none.
    """

    name: str
    to_go_m: float
    kind: str = ""
    altitude_ft: float = 0.0
    limit_kt: float = 0.0


class Final(NamedTuple):
    """The last part: the fix where it begins (distance to go, altitude), and where it ends.

    approach_kt: the speed to have been reduced to there. clean_kt: the speed it is reduced from
    if no limit says less.
    """

    to_go_m: float
    altitude_ft: float
    threshold_ft: float
    approach_kt: float
    clean_kt: float


class Limit(NamedTuple):
    """A coded speed limit: in force from `from_m` to go on, kept to the end. `name` of its fix."""

    from_m: float
    speed_kt: float
    name: str


@dataclass(frozen=True, slots=True)
class CodedDescent:
    """A path of straight parts.

    Attributes:
        points: (distance to go m, altitude ft), nearest first; beyond the last it goes on rising
            at `angle_rad`, past the runway it goes on falling.
        angle_rad: angle of the descending parts where no constraint asks for another.
        limits: coded speed limits, furthest first.
    """

    points: tuple[tuple[float, float], ...]
    angle_rad: float
    limits: tuple[Limit, ...]

    def at(self, to_go_m: float) -> tuple[float, float]:
        """Altitude (ft) of the path at a distance to go, and its slope there (m per m, down +)."""
        points = self.points
        last_m, last_ft = points[-1]
        if to_go_m >= last_m:
            slope = math.tan(self.angle_rad)
            return last_ft + (to_go_m - last_m) * slope / FT, slope
        index = 1
        while points[index][0] <= to_go_m:
            index += 1
        (near_m, near_ft), (far_m, far_ft) = points[index - 1], points[index]
        slope = (far_ft - near_ft) * FT / (far_m - near_m)
        return near_ft + (to_go_m - near_m) * slope / FT, slope

    def limit(self, to_go_m: float) -> Limit | None:
        """The lowest coded speed limit in force at a distance to go; None where there is none."""
        found: Limit | None = None
        for limit in self.limits:
            if to_go_m <= limit.from_m and (found is None or limit.speed_kt < found.speed_kt):
                found = limit
        return found


def slowing_m(from_kt: float, to_kt: float) -> float:
    """Level distance (m) planned for slowing down; 0 where nothing is to be lost."""
    return max(0.0, from_kt - to_kt) / SLOWING_KT_PER_NM * NM


def lay(constraints: tuple[Constraint, ...], final: Final, angle_rad: float) -> CodedDescent:
    """The path through `constraints` (in the order flown) to `final`, at `angle_rad` in between.

    Before the final fix, and before a fix with a speed limit, the path is level for the distance
    that slowing down takes. An "at" is met exactly: by a level part where the path would be
    higher, by a steeper part where it would be lower; an "above" only by a steeper part.
    ValueError for an angle that is not a descent.
    """
    if not 0.0 < angle_rad < 0.5 * math.pi:
        raise ValueError("the angle of a descent lies between 0 and 90 degrees")
    slope_ft = math.tan(angle_rad) / FT
    points = [(0.0, final.threshold_ft), (final.to_go_m, final.altitude_ft)]
    before = [one for one in constraints if one.to_go_m > final.to_go_m + 1.0]
    limits = [one.limit_kt for one in before if one.limit_kt]
    coming_kt = min([final.clean_kt, *limits])
    _level(points, slowing_m(coming_kt, final.approach_kt))
    for place in range(len(before) - 1, -1, -1):
        one = before[place]
        if one.kind and one.to_go_m <= points[-1][0] and one.altitude_ft > points[-1][1]:
            points.pop()  # The level part would pass this fix too low: there is no room to slow.
        near_m, near_ft = points[-1]
        if one.to_go_m > near_m:
            path_ft = near_ft + (one.to_go_m - near_m) * slope_ft
            if one.kind and (path_ft < one.altitude_ft or one.kind == "at"):
                if path_ft > one.altitude_ft > near_ft:
                    points.append(
                        (near_m + (one.altitude_ft - near_ft) / slope_ft, one.altitude_ft)
                    )
                points.append((one.to_go_m, max(near_ft, one.altitude_ft)))
            else:
                points.append((one.to_go_m, path_ft))
        if one.limit_kt:
            earlier = [other.limit_kt for other in before[:place] if other.limit_kt]
            _level(points, slowing_m(min([UNLIMITED_KT, *earlier]), one.limit_kt))
    return CodedDescent(tuple(points), angle_rad, _limits(before))


def _level(points: list[tuple[float, float]], distance_m: float) -> None:
    far_m, far_ft = points[-1]
    if distance_m > 0.0:
        points.append((far_m + distance_m, far_ft))


def _limits(before: list[Constraint]) -> tuple[Limit, ...]:
    found: list[Limit] = []
    coming_kt = UNLIMITED_KT
    for one in before:
        if one.limit_kt:
            from_m = one.to_go_m + slowing_m(coming_kt, one.limit_kt)
            found.append(Limit(from_m, one.limit_kt, one.name))
            coming_kt = min(coming_kt, one.limit_kt)
    return tuple(found)
