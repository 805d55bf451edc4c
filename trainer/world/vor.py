"""A VOR: the radial an aircraft is on, and its deviation from a selected course.

Owns bearings, the cone of confusion, and TO or FROM. Heights are above the tangent plane, bearings
are magnetic as set at the station. Refuses to know what the course is selected for.

Surprising rule: the needle knows nothing of heading. It shows the side of the course the station
and the selected course put the aircraft on, so flying the course against its sense shows the wrong
side; and it is angular to the end, so the same deviation is ever fewer metres near the station.
"""

from __future__ import annotations

import math
from dataclasses import field

from trainer.units import DEG, NM
from trainer.values import dataclass
from trainer.world.coverage import radio_horizon_m
from trainer.world.reception import NEAR_M, SILENCE, Reception, stopped

FULL_SCALE_RAD = 10.0 * DEG
"""Deviation at full scale, two dots, rad (common practice; the FAA handbook has 12° or more)."""
CONE_RAD = 50.0 * DEG
"""Half angle of the cone of confusion from the vertical, rad (ICAO Doc 8168 Vol I, I-2-2,
2.4.4.1; the signal is guaranteed up to 40° of elevation, Annex 10 Vol I, 3.3.4, from memory)."""
RANGE_M = 40.0 * NM
"""Range to which a low-altitude station is guaranteed, m (FAA AIM 1-1-8, from memory)."""
REACH_M = 130.0 * NM
"""Range beyond which no station is received, whatever the height, m (assumption)."""


@dataclass(frozen=True, slots=True)
class VorStation:
    """One VOR.

    Attributes:
        x_m: magnetic east of the threshold, m.
        y_m: magnetic north of the threshold, m.
        height_m: antenna above the tangent plane, m.
        alignment_rad: error of its radials, rad (clockwise positive; 0 for a perfect station).
    """

    x_m: float
    y_m: float
    height_m: float = 0.0
    alignment_rad: float = 0.0

    def radial_rad(self, x_m: float, y_m: float) -> float:
        """Radial of a point as received, 0..2π: the bearing *from* the station."""
        bearing = math.atan2(x_m - self.x_m, y_m - self.y_m) + self.alignment_rad
        return bearing % (2.0 * math.pi)

    def is_in_cone(self, x_m: float, y_m: float, height_m: float) -> bool:
        """Whether a point lies in the cone above the station, where no bearing is received."""
        ground = math.hypot(x_m - self.x_m, y_m - self.y_m)
        return ground < (height_m - self.height_m) * math.tan(CONE_RAD)

    def course(self, course_rad: float) -> VorCourse:
        """The station with a course selected, to be given to a receiver."""
        return VorCourse(self, course_rad)


@dataclass(frozen=True, slots=True)
class VorCourse:
    """A VOR with a course selected (rad, magnetic): what a deviation display shows.

    In its receptions `distance_m` is the distance to the station along the course: positive while
    the course leads TO it, negative FROM it. `offset_m` is cross-track, right positive.
    """

    station: VorStation
    course_rad: float
    _sin: float = field(init=False, repr=False, compare=False)
    _cos: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        # A radial received too large is a course too large: the line flown is turned back.
        course = self.course_rad - self.station.alignment_rad
        object.__setattr__(self, "_sin", math.sin(course))
        object.__setattr__(self, "_cos", math.cos(course))

    def receive(self, x_m: float, y_m: float, height_m: float, relief: float = 1.0) -> Reception:
        """What is received at a point; arguments as for a localizer.

        A VOR is received as far as it is seen, so `relief` widens only that range. In the cone
        the signal is flagged; how soon a display shows it is the receiver's affair.
        """
        station = self.station
        east, north = x_m - station.x_m, y_m - station.y_m
        ground = max(math.hypot(east, north), NEAR_M)
        if ground > min(REACH_M / relief, radio_horizon_m(height_m)):
            return SILENCE
        offset = east * self._cos - north * self._sin
        along = -(east * self._sin + north * self._cos)
        angle = math.asin(min(max(offset / ground, -1.0), 1.0))
        state = "covered" if ground <= RANGE_M else "received"
        if station.is_in_cone(x_m, y_m, height_m):
            state = "flagged"
        dots = stopped(2.0 * angle / FULL_SCALE_RAD)
        return Reception(state, dots, angle, offset, along, 0.0)


def ambiguity(reception: Reception) -> str:
    """The words TO or FROM, or "" where the signal of a VOR course is flagged or absent."""
    if not reception.is_usable:
        return ""
    return "TO" if reception.distance_m > 0.0 else "FROM"
