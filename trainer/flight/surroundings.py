"""The air, the wind and the aids around one exercise, built once before the flight.

Turns the values of an exercise into the objects of `world`; owns no state that changes in flight.
"""

from __future__ import annotations

from trainer.flight.stations import Tuned, beam_of, stations_by_frequency
from trainer.guidance.coded import Coding
from trainer.scenario.atmosphere import air_of, wind_of
from trainer.scenario.exercise import Exercise
from trainer.units import DEG, FT, NM
from trainer.values import dataclass
from trainer.world.air import Air
from trainer.world.coded_descent import Constraint
from trainer.world.coverage import coverage_for
from trainer.world.dme import DmeStation
from trainer.world.glide import GlideBeam
from trainer.world.legs import Route, Waypoint
from trainer.world.localizer import LocalizerBeam
from trainer.world.margin import Path
from trainer.world.motion import Airframe
from trainer.world.wind import Wind


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Everything outside the aircraft, and the airframe bound to it."""

    air: Air
    wind: Wind
    airframe: Airframe
    localizer: LocalizerBeam
    glide: GlideBeam
    dme: DmeStation | None
    stations: dict[str, Tuned]
    route: Route
    coding: Coding
    elevation_m: float
    final_course_rad: float


def surroundings_of(exercise: Exercise) -> Surroundings:
    """Build the surroundings of a drawn exercise."""
    approach, weather = exercise.approach, exercise.weather
    elevation_m = approach.runway.elevation_ft * FT
    air = air_of(weather, approach.runway)
    wind = wind_of(weather, approach.runway)
    course_rad = approach.localizer.course_deg * DEG
    coverage = coverage_for(exercise.airport.coverage)
    localizer = beam_of(approach.localizer, coverage)
    slope = approach.glideslope
    glide = GlideBeam(course_rad, slope.angle_deg * DEG, slope.crossing_ft * FT, coverage)
    dme = _dme_of(exercise, elevation_m)
    return Surroundings(
        air=air,
        wind=wind,
        airframe=Airframe(
            exercise.aircraft,
            exercise.start.mass_t,
            air,
            wind,
            exercise.aircraft.propeller.initial if exercise.aircraft.propeller else "",
        ),
        localizer=localizer,
        glide=glide,
        dme=dme,
        stations=stations_by_frequency(
            exercise, coverage, localizer, glide if slope.is_transmitted else None, dme
        ),
        route=route_of(exercise),
        coding=coding_of(exercise),
        elevation_m=elevation_m,
        final_course_rad=course_rad,
    )


def path_to(exercise: Exercise, gate_ft: float) -> Path:
    """The descent path with a gate at `gate_ft` (indicated, above the threshold) on it."""
    slope, runway = exercise.approach.glideslope, exercise.approach.runway
    return Path(
        angle_rad=slope.angle_deg * DEG,
        crossing_m=slope.crossing_ft * FT,
        elevation_m=runway.elevation_ft * FT,
        gate_ft=gate_ft,
        setting_hpa=exercise.weather.qnh_hpa,
        is_curved=exercise.curved_earth,
    )


def _dme_of(exercise: Exercise, elevation_m: float) -> DmeStation | None:
    dme = exercise.approach.dme
    if dme is None:
        return None
    return DmeStation(dme.x_m, dme.y_m, dme.height_ft * FT - elevation_m, dme.zero_offset_nm * NM)


def route_of(exercise: Exercise) -> Route:
    """The coded legs from where the flight begins to the threshold, and the missed approach."""
    start = exercise.start
    points = [Waypoint("START", start.x_m, start.y_m)]
    for leg in exercise.legs_ahead:
        if (leg.fix.x_m, leg.fix.y_m) == (start.x_m, start.y_m):
            continue  # begun over this fix: the route begins with the leg that leaves it
        points.append(Waypoint(leg.fix.name, leg.fix.x_m, leg.fix.y_m, arc=leg.arc))
    # The missed-approach point is flown over, whatever comes after it.
    points.append(Waypoint(f"RW{exercise.approach.runway.name}", 0.0, 0.0, is_fly_over=True))
    for leg in exercise.approach.missed_legs:
        points.append(Waypoint(leg.fix.name, leg.fix.x_m, leg.fix.y_m, arc=leg.arc))
    return Route(tuple(points))


def platform_ft(exercise: Exercise) -> float:
    """The altitude (ft) at which the path is met: that of the final fix, published or computed."""
    approach = exercise.approach
    for leg in approach.legs:
        if leg.fix.name == approach.final_fix.name and leg.constraint:
            return leg.altitude_ft
    return approach.glide_check_altitude_ft


def coding_of(exercise: Exercise) -> Coding:
    """What the coded legs ask of a descent: altitudes, speed limits, and where to be slow."""
    approach, aircraft, mass_t = exercise.approach, exercise.aircraft, exercise.start.mass_t
    return Coding(
        constraints=tuple(
            Constraint(leg.fix.name, 0.0, leg.constraint, leg.altitude_ft, leg.speed_limit_kt)
            for leg in approach.legs
        ),
        final_fix=approach.final_fix.name,
        final_ft=platform_ft(exercise),
        threshold_ft=approach.runway.elevation_ft + approach.glideslope.crossing_ft,
        approach_kt=aircraft.manoeuvre_kt(mass_t, aircraft.stage_for("approach")),
        clean_kt=aircraft.manoeuvre_kt(mass_t, aircraft.stage_for("clean")),
        angle_rad=approach.glideslope.angle_deg * DEG,
        runway=f"RW{approach.runway.name}",
    )
