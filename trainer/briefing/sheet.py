"""The procedure sheet as values, and as the published JSON document.

Owns which figures a sheet has, all computed from the exercise. Surprising rule: the curved figure
is the one flown and the flat one is there to be compared with published tables; where an exercise
switches the curvature off, both are the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

from trainer.briefing.ladders import Ladders, Step, flown_ladder, ladders
from trainer.briefing.route import RouteFix, route
from trainer.briefing.tables import GROUND_SPEEDS_KT
from trainer.flight.surroundings import Surroundings, platform_ft, surroundings_of
from trainer.proof.prove import fly_perfect
from trainer.scenario.book import book_of
from trainer.scenario.exercise import Exercise, Fix, Leg
from trainer.text import NOTICE
from trainer.units import DEG, FT, NM
from trainer.values import dataclass
from trainer.world.glide import usable_from
from trainer.world.tables import descent_rate_fpm, path_altitude, seconds_to_fly

FORMAT = "approach-drill/brief"
"""What the document calls itself."""
VERSION = 1
"""Version of the document; raised when a key changes its meaning or goes."""
FULL_SCALE_DOTS = 2.0
"""Dots of full-scale deflection: half the width of the course."""
LEAST_MILES = 10
"""The distance table begins at least this far out, NM; further out where a fix lies there."""
_ON_COURSE_M = 0.1 * NM


class PathRow(NamedTuple):
    """The path at one distance: NM to the threshold, DME reading, altitudes ft; `fix` or ""."""

    distance_nm: float
    dme_nm: float | None
    flat_ft: float
    curved_ft: float
    fix: str


class FixRow(NamedTuple):
    """A fix of the procedure; path figures None off the final course, published None without."""

    fix: str
    distance_nm: float
    dme_nm: float | None
    path_flat_ft: float | None
    path_curved_ft: float | None
    published_ft: float | None
    constraint: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything a sheet shows.

    `course_width_deg` from full scale to full scale; `usable_from_nm` and `covered_from_nm` where
    the glide path is first received, and first guaranteed, on a level run-in at `platform_ft`;
    `route` what is passed from the start on, where `fixes` has the coded legs.
    """

    exercise: Exercise
    platform_ft: float
    course_width_deg: float
    usable_from_nm: float | None
    covered_from_nm: float | None
    path: tuple[PathRow, ...]
    fixes: tuple[FixRow, ...]
    route: tuple[tuple[RouteFix, FixRow], ...]
    descent_rate: tuple[tuple[int, float], ...]
    timing: tuple[tuple[int, float], ...]
    ladders: Ladders
    notice: str = NOTICE


def sheet(exercise: Exercise, reference: Sequence[Step] = ()) -> Sheet:
    """The sheet of an exercise as drawn; `reference` is the ladder of a reference flight."""
    approach = exercise.approach
    around = surroundings_of(exercise)
    level_ft = platform_ft(exercise)
    glide = usable_from(
        around.glide, (level_ft - approach.runway.elevation_ft) * FT, exercise.curved_earth
    )
    angle_deg = approach.glideslope.angle_deg
    final_nm = approach.final_fix.distance_nm
    return Sheet(
        exercise=exercise,
        platform_ft=level_ft,
        course_width_deg=2.0 * around.localizer.half_width_rad / DEG,
        usable_from_nm=glide.received_nm,
        covered_from_nm=glide.covered_nm,
        path=_path(exercise, around),
        fixes=tuple(_fix_row(exercise, around, leg) for leg in approach.legs),
        route=tuple((one, _fix_row(exercise, around, one.leg)) for one in route(exercise)),
        descent_rate=tuple(
            (speed_kt, descent_rate_fpm(speed_kt, angle_deg)) for speed_kt in GROUND_SPEEDS_KT
        ),
        timing=tuple(
            (speed_kt, seconds_to_fly(final_nm, speed_kt)) for speed_kt in GROUND_SPEEDS_KT
        ),
        ladders=ladders(exercise, reference),
    )


def flown_sheet(exercise: Exercise) -> Sheet:
    """The sheet with the ladder of a good crew, flown in the wind and at the mass of the day."""
    session, _ = fly_perfect(exercise, book_of(exercise))
    return sheet(exercise, flown_ladder(exercise, session.flight.rows))


def _path(exercise: Exercise, around: Surroundings) -> tuple[PathRow, ...]:
    """Every mile and every fix on the final course, the outermost first."""
    places = [
        (leg.fix.distance_nm, leg.fix.name)
        for leg in exercise.approach.legs
        if _is_on_course(around, leg.fix)
    ]
    outermost = max([LEAST_MILES, *(int(distance_nm) for distance_nm, _ in places)])
    places += [(float(mile), "") for mile in range(1, outermost + 1)]
    places.sort(reverse=True)
    rows = []
    for distance_nm, name in places:
        flat_ft, path_ft = _flat_ft(exercise, distance_nm), exercise.path_altitude_ft(distance_nm)
        dme_nm = _dme_on_path(exercise, around, distance_nm)
        rows.append(PathRow(distance_nm, dme_nm, flat_ft, path_ft, name))
    return tuple(rows)


def _flat_ft(exercise: Exercise, distance_nm: float) -> float:
    slope, runway = exercise.approach.glideslope, exercise.approach.runway
    return path_altitude(
        distance_nm, slope.angle_deg, slope.crossing_ft, runway.elevation_ft
    ).flat_ft


def _dme_on_path(exercise: Exercise, around: Surroundings, distance_nm: float) -> float | None:
    """What the DME shows on the path: slant range from its antenna, less its zero, NM."""
    if around.dme is None:
        return None
    approach = exercise.approach
    course_rad, back_m = around.final_course_rad, distance_nm * NM
    # The beam is straight in the plane, so the flat height is the one above the plane.
    height_m = _flat_ft(exercise, distance_nm) - approach.runway.elevation_ft
    return around.dme.distance_nm(
        -back_m * math.sin(course_rad), -back_m * math.cos(course_rad), height_m * FT
    )


def _is_on_course(around: Surroundings, fix: Fix) -> bool:
    beam = around.localizer
    is_before = beam.final_distance_m(fix.x_m, fix.y_m) > 0.0
    return is_before and abs(beam.localizer_offset_m(fix.x_m, fix.y_m)) <= _ON_COURSE_M


def _fix_row(exercise: Exercise, around: Surroundings, leg: Leg) -> FixRow:
    fix = leg.fix
    published_ft = leg.altitude_ft if leg.constraint else None
    if _is_on_course(around, fix):
        flat_ft = _flat_ft(exercise, fix.distance_nm)
        path_ft = exercise.path_altitude_ft(fix.distance_nm)
        dme_nm = _dme_on_path(exercise, around, fix.distance_nm)
        return FixRow(
            fix.name, fix.distance_nm, dme_nm, flat_ft, path_ft, published_ft, leg.constraint
        )
    dme_nm = None
    if around.dme is not None:
        over_ft = platform_ft(exercise) if published_ft is None else published_ft
        height_m = (over_ft - exercise.approach.runway.elevation_ft) * FT
        dme_nm = around.dme.distance_nm(fix.x_m, fix.y_m, height_m)
    return FixRow(fix.name, fix.distance_nm, dme_nm, None, None, published_ft, leg.constraint)


# The document ----------------------------------------------------------------------------------


def sheet_json(made: Sheet) -> dict[str, Any]:
    """The published document: distances with two decimals, altitudes with one, rates whole."""
    exercise, approach = made.exercise, made.exercise.approach
    now = exercise.speeds_at(exercise.weather.is_icing)
    return {
        "format": FORMAT,
        "version": VERSION,
        "notice": made.notice,
        "exercise": exercise.name,
        "title": exercise.title,
        "seed": exercise.seed,
        "course_deg": approach.localizer.course_deg,
        "glide_angle_deg": approach.glideslope.angle_deg,
        "threshold_crossing_ft": approach.glideslope.crossing_ft,
        "threshold_elevation_ft": approach.runway.elevation_ft,
        "minimums": approach.minimums_ft,
        "localizer": None
        if approach.rnp
        else {
            "course_width_deg": _rounded(made.course_width_deg, 3),
            "half_width_dots": FULL_SCALE_DOTS,
            "antenna_to_threshold_m": approach.localizer.antenna_to_threshold_m,
        },
        "glide": {
            "usable_from_nm": _rounded(made.usable_from_nm, 2),
            "covered_from_nm": _rounded(made.covered_from_nm, 2),
        },
        "distance_altitude": [
            {
                "distance_nm": _rounded(row.distance_nm, 2),
                "dme_nm": _rounded(row.dme_nm, 2),
                "altitude_flat_ft": _rounded(row.flat_ft, 1),
                "altitude_ft": _rounded(row.curved_ft, 1),
            }
            for row in made.path
        ],
        "fixes": [
            {
                "fix": row.fix,
                "distance_nm": _rounded(row.distance_nm, 2),
                "dme_nm": _rounded(row.dme_nm, 2),
                "path_altitude_flat_ft": _rounded(row.path_flat_ft, 1),
                "path_altitude_ft": _rounded(row.path_curved_ft, 1),
                "published_altitude_ft": row.published_ft,
            }
            for row in made.fixes
        ],
        "descent_rate": [
            {"ground_speed_kt": speed_kt, "rate_fpm": round(rate_fpm)}
            for speed_kt, rate_fpm in made.descent_rate
        ],
        "timing": [
            {"ground_speed_kt": speed_kt, "seconds": _rounded(time_s, 1)}
            for speed_kt, time_s in made.timing
        ],
        "ladders": {
            name: [_step(step) for step in steps] for name, steps in made.ladders._asdict().items()
        },
        "speeds": {
            "reference_kt": _rounded(now.reference_kt, 1),
            "final_kt": _rounded(now.final_kt, 1),
        },
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "step": step.step,
        "distance_nm": _rounded(step.distance_nm, 2),
        "altitude_ft": _rounded(step.altitude_ft, 0),
        "cas_kt": _rounded(step.cas_kt, 1),
    }


def _rounded(value: float | None, decimals: int) -> float | None:
    return None if value is None else round(value, decimals) + 0.0
