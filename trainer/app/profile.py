"""The vertical profile: path, fixes, minimums and the aircraft against distance to the threshold.

Values for the profile strip. The volume in which the glide path is received is a separate value,
made only for levels that show it.
"""

from __future__ import annotations

import math

from trainer.flight.surroundings import Surroundings
from trainer.scenario.exercise import Approach, Exercise, Fix, Start
from trainer.text import shown
from trainer.units import DEG, FT, NM
from trainer.values import dataclass
from trainer.world.earth import height_above_plane_m

FARTHEST_NM = 30
SCALES_NM = (6.0, 12.0, 18.0, 24.0, 30.0)
"""The strip shows one of these distances, the smallest that holds the aircraft."""
CELL_NM = 0.5
CELL_FT = 250.0


@dataclass(frozen=True, slots=True)
class Place:
    """A fix on the final course: name, distance before the threshold, altitude to cross (or 0).

    `constraint` says "at" or "above" that altitude, "" for none; `limit_kt` is 0 for none.
    """

    name: str
    distance_nm: float
    altitude_ft: float
    constraint: str = ""
    limit_kt: float = 0.0


@dataclass(frozen=True, slots=True)
class Profile:
    """What does not change in flight. Altitudes above sea level, ft; distances NM."""

    elevation_ft: float
    path: tuple[tuple[float, float], ...]
    places: tuple[Place, ...]
    minimums_ft: float

    def path_altitude_ft(self, distance_nm: float) -> float:
        """Altitude of the published path at a distance (0..30 NM), between its points."""
        at = min(max(distance_nm, 0.0) / CELL_NM, len(self.path) - 1.0)
        low = min(int(at), len(self.path) - 2)
        before, after = self.path[low][1], self.path[low + 1][1]
        return before + (after - before) * (at - low)


Volume = dict[tuple[int, int], str]
"""Cells of half a mile by 250 ft above the threshold in which the glide path is "received"
(usable, outside its guaranteed coverage) or "covered"."""


def profile_of(exercise: Exercise) -> Profile:
    """The profile of an exercise: its path, and the fixes that lie along the final course."""
    approach = exercise.approach
    path = tuple(
        (place * CELL_NM, exercise.path_altitude_ft(place * CELL_NM))
        for place in range(round(FARTHEST_NM / CELL_NM) + 1)
    )
    places = []
    for leg in approach.legs:
        along_nm, right_nm = _on_course(approach, leg.fix)
        if 0.5 < along_nm < FARTHEST_NM and abs(right_nm) < 0.3:
            places.append(
                Place(
                    shown(leg.fix.name), along_nm, leg.altitude_ft, leg.constraint,
                    leg.speed_limit_kt,
                )
            )  # fmt: skip
    return Profile(approach.runway.elevation_ft, path, tuple(places), approach.minimums_ft)


@dataclass(frozen=True, slots=True)
class Sample:
    """What a small drawing of an exercise shows: its profile, and where the flight begins.

    `begins_nm`: miles before the threshold, measured along the final course (negative behind it).
    """

    profile: Profile
    begins_nm: float
    begins_ft: float


def sample_of(exercise: Exercise) -> Sample:
    """The sample of an exercise."""
    start = exercise.start
    begins_nm, _ = _on_course(exercise.approach, start)
    return Sample(profile_of(exercise), begins_nm, start.altitude_ft)


def _on_course(approach: Approach, place: Fix | Start) -> tuple[float, float]:
    """Miles before the threshold along the final course, and right of it."""
    course_rad = approach.localizer.course_deg * DEG
    sine, cosine = math.sin(course_rad), math.cos(course_rad)
    along_m = -(place.x_m * sine + place.y_m * cosine)
    return along_m / NM, (place.x_m * cosine - place.y_m * sine) / NM


def volume_of(around: Surroundings) -> Volume:
    """Where the glide path is received on the final course; 30 NM by 6 000 ft."""
    beam = around.glide
    sine, cosine = math.sin(around.final_course_rad), math.cos(around.final_course_rad)
    cells: Volume = {}
    for column in range(1, round(FARTHEST_NM / CELL_NM)):
        distance_m = column * CELL_NM * NM
        for row in range(1, 25):
            plane_m = height_above_plane_m(row * CELL_FT * FT, distance_m)
            state = beam.receive(-distance_m * sine, -distance_m * cosine, plane_m).state
            if state in ("received", "covered"):
                cells[column, row] = state
    return cells


def scale_nm(distance_nm: float) -> float:
    """The distance shown for an aircraft at `distance_nm` before the threshold."""
    return next((one for one in SCALES_NM if distance_nm <= one - 0.2), SCALES_NM[-1])
