"""Beams and points of view shared by the tests of received signals."""

from __future__ import annotations

import math

from trainer.units import DEG, FT, NM
from trainer.world.coverage import Coverage, coverage_for
from trainer.world.glide import GlideBeam
from trainer.world.localizer import LocalizerBeam
from trainer.world.reception import Reception


def localizer(
    course_deg: float = 0.0,
    antenna_m: float = 2800.0,
    profile: str = "icao",
    margin_db: float = 0.0,
    has_back_course: bool = False,
) -> LocalizerBeam:
    return LocalizerBeam(
        course_deg * DEG, antenna_m, coverage_for(profile), margin_db, has_back_course
    )


def glide(
    angle_deg: float = 3.0,
    crossing_ft: float = 50.0,
    course_deg: float = 0.0,
    margin_db: float = 0.0,
    coverage: Coverage | None = None,
) -> GlideBeam:
    volume = coverage_for("icao") if coverage is None else coverage
    return GlideBeam(course_deg * DEG, angle_deg * DEG, crossing_ft * FT, volume, margin_db)


def at(
    beam: LocalizerBeam | GlideBeam, before_nm: float, right_m: float, height_ft: float
) -> Reception:
    """What is received `before_nm` before the threshold and `right_m` right of the course."""
    before_m = before_nm * NM
    sin, cos = math.sin(beam.course_rad), math.cos(beam.course_rad)
    x_m = -before_m * sin + right_m * cos
    y_m = -before_m * cos - right_m * sin
    return beam.receive(x_m, y_m, height_ft * FT)


def from_antenna(beam: LocalizerBeam, range_nm: float, azimuth_deg: float, height_ft: float) -> str:
    """State at a range and azimuth seen from the localizer antenna (course 000)."""
    right_m = range_nm * NM * math.sin(azimuth_deg * DEG)
    before_m = range_nm * NM * math.cos(azimuth_deg * DEG) - beam.antenna_to_threshold_m
    return beam.receive(right_m, -before_m, height_ft * FT).state


def from_path_origin(
    beam: GlideBeam, range_nm: float, parts_of_angle: float, azimuth_deg: float = 0.0
) -> Reception:
    """Reception at a ground range, elevation and azimuth seen from the foot of the path."""
    ground_m = range_nm * NM
    right_m = ground_m * math.sin(azimuth_deg * DEG)
    before_m = ground_m * math.cos(azimuth_deg * DEG) - beam.origin_m
    return beam.receive(right_m, -before_m, ground_m * math.tan(parts_of_angle * beam.angle_rad))


def outermost_nm(beam: GlideBeam, height_ft: float, dots: float) -> float:
    """Distance before the threshold at which a level flight sees `dots` (flat earth), NM."""
    far, near = 20.0, 2.0
    for _ in range(60):
        middle = 0.5 * (far + near)
        if at(beam, middle, 0.0, height_ft).dots < dots:
            far = middle
        else:
            near = middle
    return near
