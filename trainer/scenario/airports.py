"""Airport files as values: one approach, laid out in the plane of its landing threshold.

Owns geodesy at composing time and the path altitude at the final fix. Knows no exercise except
the name of the approach and of the arrival. Surprising rule: the legs run from the arrival that
leads through the start to the final fix; the threshold itself is a fix, `RW` and the runway.
"""

from __future__ import annotations

import math

from trainer.errors import hint
from trainer.scenario import exercise as values
from trainer.scenario.fields import Fields
from trainer.scenario.legs import Places, centers, legs_of
from trainer.scenario.nodes import Node
from trainer.scenario.reading import Reading
from trainer.scenario.stations import further_stations, localizer_of
from trainer.text import quoted
from trainer.units import DEG, FT, NM
from trainer.world.earth import Plane, drop_m
from trainer.world.rnp import GARP_BEYOND_END_M

MOST_OFFSET_DEG = 5.0
"""Most that a localizer course may differ from the runway (ICAO Doc 8168 Vol II, II-1-2, from
memory)."""
MOST_MISNAMED_DEG = 15.0
"""Most that ten times a designator may differ from the course: half a step, and one more where four
runways are parallel (ICAO Annex 14 Vol I, 5.2.2.4, from memory)."""


def select_approach(airport: Fields, name: str, at: Node, reading: Reading) -> Fields | None:
    """The approach `name` of an airport, or None with a problem noted at `at`."""
    approaches = airport.records("approaches")
    for approach in approaches:
        if approach.text("approach") == name:
            return approach
    known = [approach.text("approach") for approach in approaches]
    reading.unknown(at, f"{airport.text('name')} has no approach", name, known)
    return None


def build(
    code: str,
    airport: Fields,
    approach: Fields,
    arrival: tuple[str, Node],
    start_fix: str,
    reading: Reading,
) -> tuple[values.Airport, values.Approach] | None:
    """Airport and approach as values.

    Args:
        code: stem of the file (shown in capitals).
        airport, approach: fields as read.
        arrival: name of the arrival ("" = the one with `start_fix`) and where it is written.
        start_fix: the fix before which the flight begins.
        reading: takes the problems found.

    Returns:
        Both values, or None if a problem was noted.
    """
    before = len(reading.problems)
    runway = _runway(airport, approach, reading)
    if runway is None:
        return None
    plane = Plane(runway.latitude_deg, runway.longitude_deg, airport.number("variation"))
    fixes = _fixes(airport, plane, runway, reading)
    localizer, rnp = _lateral(approach, runway)
    dme = _dme(approach, plane, localizer)
    stations = further_stations(airport, approach, plane, reading)
    places = Places(fixes, centers(fixes, stations, localizer, dme))
    legs = _route(approach, arrival, start_fix, places, reading)
    missed = approach.part("missed approach")
    missed_legs = legs_of(missed.records("legs"), places, reading, fixes[f"RW{runway.name}"])
    steps = legs_of(approach.records("steps"), places, reading)
    final_name, known = approach.text("final fix"), [leg.fix.name for leg in legs]
    if final_name not in known:
        message = f"the final fix {quoted(final_name)} is on none of the legs"
        message += hint(final_name, known, "expected")
        reading.refuse(approach.at("final fix"), message)
    if len(reading.problems) > before:
        return None
    _check_offset(approach, runway, reading)
    slope, final = _slope(approach, rnp), fixes[final_name]
    minimums_ft = approach.number("minimums")
    built = values.Approach(
        name=approach.text("approach"),
        runway=runway,
        localizer=localizer,
        glideslope=slope,
        dme=dme,
        legs=legs,
        final_fix=final,
        glide_check_altitude_ft=path_altitude_ft(
            final.distance_nm,
            runway.elevation_ft,
            slope,
            is_barometric=rnp is not None and rnp.is_barometric,
        ),
        minimums_ft=minimums_ft,
        missed_altitude_ft=missed.number("altitude"),
        missed_legs=missed_legs,
        steps=steps,
        rnp=rnp,
        descent_minimum_ft=minimums_ft if approach.flag("descent minimum") else None,
    )
    return _place(code, airport, tuple(fixes.values()), stations), built


def _place(
    code: str, airport: Fields, fixes: tuple[values.Fix, ...], stations: tuple[values.Station, ...]
) -> values.Airport:
    return values.Airport(
        code=code.upper(),
        name=airport.text("name"),
        elevation_ft=airport.number("elevation"),
        variation_deg=airport.number("variation"),
        coverage=airport.text("coverage"),
        transition_altitude_ft=airport.number("transition altitude"),
        fixes=fixes,
        stations=stations,
    )


def _slope(approach: Fields, rnp: values.RnpFinal | None) -> values.Glideslope:
    """The glide path; of an RNP final its angle and crossing height, for nothing is sent."""
    glide = approach.part("glideslope")
    is_sent = rnp is None and glide.flag("transmitted")
    return values.Glideslope(glide.number("angle"), glide.number("crossing height"), is_sent)


def _lateral(
    approach: Fields, runway: values.Runway
) -> tuple[values.Localizer, values.RnpFinal | None]:
    """The localizer, or the RNP final and a localizer that is nothing but its course."""
    record = approach.record("localizer")
    if record is not None:
        return localizer_of(record), None
    fields = approach.part("rnp")
    final = values.RnpFinal(
        required_nm=fields.number("required"),
        service=fields.text("service"),
        lowest_c=fields.number("lowest temperature"),
        highest_c=fields.number("highest temperature"),
        descent_minimum_ft=fields.maybe("LNAV minimum"),
    )
    beyond_m = runway.length_m + GARP_BEYOND_END_M
    return values.Localizer("", "", fields.number("course"), beyond_m, "failed"), final


def path_altitude_ft(
    distance_nm: float, elevation_ft: float, slope: values.Glideslope, is_barometric: bool = False
) -> float:
    """Altitude (ft, rounded to 10) of the glide path at `distance_nm` before the threshold.

    The path is a straight line in the plane of the threshold; the sea falls away by d²/2R. A
    barometric path is laid in altitudes and knows no plane.
    """
    distance_m = distance_nm * NM
    height_m = slope.crossing_ft * FT + distance_m * math.tan(slope.angle_deg * DEG)
    if not is_barometric:
        height_m += drop_m(distance_m)
    return float(round((elevation_ft + height_m / FT) / 10.0) * 10)


def _runway(airport: Fields, approach: Fields, reading: Reading) -> values.Runway | None:
    wanted = approach.text("runway")
    for runway in airport.records("runways"):
        if runway.text("runway") == wanted:
            _check_designator(runway, reading)
            latitude, longitude = runway.position("threshold")
            return values.Runway(
                name=wanted,
                course_deg=runway.number("course"),
                length_m=runway.number("length"),
                elevation_ft=runway.number("elevation"),
                lights=runway.text("lights"),
                latitude_deg=latitude,
                longitude_deg=longitude,
            )
    known = [runway.text("runway") for runway in airport.records("runways")]
    reading.unknown(approach.at("runway"), "unknown runway", wanted, known)
    return None


def _check_designator(runway: Fields, reading: Reading) -> None:
    name, course_deg = runway.text("runway"), runway.number("course")
    if not name[:2].isdecimal():
        return
    if abs(math.remainder(10.0 * int(name[:2]) - course_deg, 360.0)) > MOST_MISNAMED_DEG:
        usual = round(course_deg / 10.0) % 36 or 36
        reading.refuse(
            runway.at("course"),
            f"runway {quoted(name)} has the magnetic course {course_deg:.0f}; expected one near "
            f'{int(name[:2]) * 10:03d}, or the designator "{usual:02d}"',
        )


def _fixes(
    airport: Fields, plane: Plane, runway: values.Runway, reading: Reading
) -> dict[str, values.Fix]:
    fixes: dict[str, values.Fix] = {}
    for fields in airport.records("fixes"):
        name = fields.text("fix")
        if name in fixes:
            reading.refuse(fields.at("fix"), f"the fix {quoted(name)} stands here a second time")
            continue
        x_m, y_m = plane.locate(*fields.position("position"))
        distance_nm = math.hypot(x_m, y_m) / NM
        if distance_nm > 100.0:
            reading.refuse(
                fields.at("position"),
                f"{name} is {distance_nm:.0f} NM from runway {runway.name}; expected at most 100",
            )
        fixes[name] = values.Fix(name, x_m, y_m, distance_nm)
    threshold = f"RW{runway.name}"
    fixes.setdefault(threshold, values.Fix(threshold, 0.0, 0.0, 0.0))
    return fixes


def _route(
    approach: Fields, arrival: tuple[str, Node], start_fix: str, places: Places, reading: Reading
) -> tuple[values.Leg, ...]:
    arrivals = approach.named("arrivals")
    name, at = arrival
    chosen: tuple[Fields, ...] = ()
    if name and name not in arrivals:
        reading.unknown(at, f"{approach.text('approach')} has no arrival", name, arrivals)
    elif name:
        chosen = arrivals[name]
    else:
        for legs in arrivals.values():
            if any(leg.text("fix") == start_fix for leg in legs):
                chosen = legs
                break
    return legs_of((*chosen, *approach.records("legs")), places, reading)


def _check_offset(approach: Fields, runway: values.Runway, reading: Reading) -> None:
    fields = approach.record("localizer") or approach.part("rnp")
    offset_deg = abs(math.remainder(fields.number("course") - runway.course_deg, 360.0))
    if offset_deg > MOST_OFFSET_DEG:
        reading.refuse(
            fields.at("course"),
            f"the course is {offset_deg:.0f} degrees off runway {runway.name}; expected at most "
            f"{MOST_OFFSET_DEG:.0f}",
        )


def _dme(approach: Fields, plane: Plane, localizer: values.Localizer) -> values.DmeStation | None:
    fields = approach.record("dme")
    if fields is None:
        return None
    x_m, y_m = plane.locate(*fields.position("position"))
    return values.DmeStation(
        frequency=localizer.frequency,
        x_m=x_m,
        y_m=y_m,
        height_ft=fields.number("height"),
        zero_offset_nm=fields.number("zero offset"),
    )
