"""What of an exercise no crew could fly: turns, gradients, speeds and gates, told before a flight.

Owns hand-sized estimates by the formulas of `world`, at the exercise's mass, wind and air. Knows
no crew and no mode. Surprising rule: it refuses only what is impossible for anybody; every doubt
is settled for the author (the turn is flown as slow as the miles before it allow, the descent with
everything out), because `check` flies the rest.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from trainer.scenario.abilities import Machine
from trainer.scenario.exercise import Exercise, Gate
from trainer.scenario.quantities import plain_number
from trainer.units import DEG, FT, KT, NM
from trainer.world.air import tas_from_cas
from trainer.world.coded_descent import SLOWING_KT_PER_NM
from trainer.world.legs import BANK_SHARE, FLY_BY_MAX_RAD, Route, Waypoint, anticipation_m

_ROUNDING_NM = 0.05
_ABOVE_PATH_FT = 150.0
_PER_MINUTE = 60.0


class Finding(NamedTuple):
    """Something that cannot be flown, and what it is written in.

    place: "leg", "missed leg" (name: the fix), "gate" (name: the gate), or the record that holds
    the key `name`: "start", "approach", "glideslope", "missed approach".
    """

    place: str
    name: str
    message: str


class _Leg(NamedTuple):
    """A leg of the route as far as it is flown here: length (m), turn at its end (rad), speeds."""

    start: str
    end: str
    length_m: float
    turn_rad: float
    lead_m: float
    speed_kt: float


def findings(exercise: Exercise) -> list[Finding]:
    """Everything that cannot be flown in an exercise as it stands (drawn or written)."""
    machine = Machine(exercise)
    found: list[Finding] = []
    found += _heights(exercise)
    found += _final_fix(exercise)
    found += _glide_path(exercise, machine)
    route = _route(exercise)
    if route is None:
        return found
    found += _turns(exercise, _flown(exercise, machine, route))
    found += _speed_limits(exercise, machine, route)
    found += _gradients(exercise, machine, route)
    found += _missed(exercise, machine)
    return found


def _heights(exercise: Exercise) -> Iterator[Finding]:
    """Start, minimums and missed approach against the ground."""
    approach, start = exercise.approach, exercise.start
    runway_ft = approach.runway.elevation_ft
    if start.altitude_ft <= runway_ft:
        yield Finding(
            "start",
            "altitude",
            f"{plain_number(start.altitude_ft)} ft is not above the runway at "
            f"{plain_number(runway_ft)} ft; expected a start in the air",
        )
    if approach.missed_altitude_ft <= approach.minimums_ft:
        yield Finding(
            "missed approach",
            "altitude",
            f"{plain_number(approach.missed_altitude_ft)} ft is not above the minimums of "
            f"{plain_number(approach.minimums_ft)} ft; expected an altitude to climb to",
        )
    lower_ft = None if approach.rnp is None else approach.rnp.descent_minimum_ft
    if lower_ft is not None and lower_ft <= approach.minimums_ft:
        yield Finding(
            "rnp",
            "LNAV minimum",
            f"{plain_number(lower_ft)} ft is not above the minimums of "
            f"{plain_number(approach.minimums_ft)} ft; expected a higher one, for want of a path",
        )
    if approach.minimums_ft <= runway_ft:
        yield Finding(
            "approach",
            "minimums",
            f"minimums of {plain_number(approach.minimums_ft)} ft are not above the runway at "
            f"{plain_number(runway_ft)} ft; expected an altitude above sea level",
        )


def _final_fix(exercise: Exercise) -> Iterator[Finding]:
    """The altitude at the final fix against the glide path there: it is met from below."""
    approach = exercise.approach
    for leg in approach.legs:
        over_ft = leg.altitude_ft - approach.glide_check_altitude_ft
        if leg.fix.name != approach.final_fix.name or leg.constraint != "at":
            continue
        if over_ft > _ABOVE_PATH_FT:
            yield Finding(
                "leg",
                leg.fix.name,
                f"{plain_number(leg.altitude_ft)} ft at {leg.fix.name} is {over_ft:.0f} ft above "
                f"the glide path there ({plain_number(approach.glide_check_altitude_ft)} ft); "
                "expected an altitude from which the path is met from below",
            )


# The glide path --------------------------------------------------------------------------------


def _glide_path(exercise: Exercise, machine: Machine) -> Iterator[Finding]:
    """The path against what the type loses in landing configuration, and against the gate."""
    approach, kind = exercise.approach, exercise.aircraft
    course_rad = approach.localizer.course_deg * DEG
    slope = math.tan(approach.glideslope.angle_deg * DEG)
    needs = slope * NM / FT
    for gate in exercise.flow.gates:
        if gate.is_main:
            yield from _sink(exercise, machine, gate, course_rad, slope)
    altitude_ft = approach.runway.elevation_ft + 1000.0
    has = machine.descent_ft_per_nm(
        altitude_ft, exercise.final_kt, course_rad, kind.stage_for("landing"), True
    )
    if needs > has:
        yield Finding(
            "glideslope",
            "angle",
            f"a path of {approach.glideslope.angle_deg:g} deg falls {needs:.0f} ft/NM, and "
            f"{kind.title} in landing configuration loses {has:.0f} ft/NM at idle and "
            f"{exercise.final_kt:.0f} kt in this wind: it would gain speed all the way; "
            "expected a flatter path",
        )


def _sink(
    exercise: Exercise, machine: Machine, gate: Gate, course_rad: float, slope: float
) -> Iterator[Finding]:
    limit = next((one.limit for one in gate.criteria if one.name == "sink"), None)
    if limit is None:
        return
    altitude_ft = exercise.approach.runway.elevation_ft + gate.height_ft
    target_kt = gate.speed_kt or exercise.final_kt
    tas_ms = tas_from_cas(target_kt * KT, machine.air_at(altitude_ft))
    ground_ms = tas_ms + machine.tail_ms(altitude_ft, course_rad)
    sink_fpm = ground_ms * slope / FT * _PER_MINUTE
    if sink_fpm > limit:
        yield Finding(
            "gate",
            gate.name,
            f"{gate.name} allows a sink rate of {limit:.0f} ft/min, but the path of "
            f"{exercise.approach.glideslope.angle_deg:g} deg at {ground_ms / KT:.0f} kt over the "
            f"ground needs {sink_fpm:.0f}: the gate can never be met",
        )


# The route -------------------------------------------------------------------------------------


def _route(exercise: Exercise) -> Route | None:
    """The coded legs from the first fix on, the start in front; None if two fixes are one place."""
    start = exercise.start
    points = [Waypoint("START", start.x_m, start.y_m)]
    for leg in exercise.legs_ahead:
        points.append(Waypoint(leg.fix.name, leg.fix.x_m, leg.fix.y_m, arc=leg.arc))
    points.append(Waypoint(f"RW{exercise.approach.runway.name}", 0.0, 0.0))
    if (points[1].x_m, points[1].y_m) == (start.x_m, start.y_m):
        del points[0]
    for before, after in pairwise(points):
        if math.hypot(after.x_m - before.x_m, after.y_m - before.y_m) < 1.0:
            return None
    return Route(tuple(points))


def _flown(exercise: Exercise, machine: Machine, route: Route) -> list[_Leg]:
    """The legs with the lead of each turn, flown as slow as a careful crew may be by then."""
    slowest_kt = machine.kind.manoeuvre_kt(machine.mass_t, 0)
    bank_rad = BANK_SHARE * machine.kind.handling.bank_deg * DEG
    limits = {leg.fix.name: leg.speed_limit_kt for leg in exercise.legs_ahead}
    altitude_ft, speed_kt = exercise.start.altitude_ft, exercise.start.speed_kt
    begin = route.points[0].name
    legs: list[_Leg] = []
    for index, leg in enumerate(route.legs):
        slowed_kt = speed_kt - SLOWING_KT_PER_NM * leg.length_m / NM
        speed_kt = min(speed_kt, max(slowest_kt, slowed_kt))
        if limits.get(leg.name):
            speed_kt = min(speed_kt, limits[leg.name])
        lead_m = 0.0
        if index + 1 < len(route.legs) and leg.turn_rad:
            tas_ms = tas_from_cas(speed_kt * KT, machine.air_at(altitude_ft))
            after = route.legs[index + 1].course_rad
            tail_ms = max(
                machine.tail_ms(altitude_ft, leg.course_rad), machine.tail_ms(altitude_ft, after)
            )
            lead_m = anticipation_m(leg.turn_rad, tas_ms + tail_ms, bank_rad)
        legs.append(_Leg(begin, leg.name, leg.length_m, leg.turn_rad, lead_m, speed_kt))
        begin = leg.name
    return legs


def _turns(exercise: Exercise, legs: Sequence[_Leg]) -> Iterator[Finding]:
    """Each turn against the sharpest one flown by, and each leg against the turns at its ends.

    Sources: ICAO Doc 8168 Vol II, III-3-8 (distance of turn anticipation); 120° as the sharpest
    turn at a fly-by fix from memory.
    """
    before_m = 0.0
    for leg in legs:
        if abs(leg.turn_rad) > FLY_BY_MAX_RAD:
            yield Finding(
                "leg",
                leg.end,
                f"the turn at {leg.end} is {abs(leg.turn_rad) / DEG:.0f} degrees; expected at most "
                f"{FLY_BY_MAX_RAD / DEG:.0f}, the sharpest that a fix is flown by with",
            )
        needs_nm = (before_m + leg.lead_m) / NM
        has_nm = leg.length_m / NM
        if needs_nm > has_nm + _ROUNDING_NM:
            yield _tight(leg, has_nm, needs_nm, before_m)
        before_m = leg.lead_m


def _tight(leg: _Leg, has_nm: float, needs_nm: float, before_m: float) -> Finding:
    speed = f"at {leg.speed_kt:.0f} kt"
    if leg.start == "START":
        return Finding(
            "start",
            "distance",
            f"the start is {has_nm:.1f} NM before {leg.end}, but the turn there {speed} begins "
            f"{needs_nm:.1f} NM before it; expected a longer way or a lower speed",
        )
    which = f"the turn at {leg.end} {speed} needs"
    if before_m and leg.lead_m:
        which = f"the turns at its two ends {speed} need"
    elif before_m:
        which = f"the turn at {leg.start} {speed} needs"
    return Finding(
        "leg",
        leg.end,
        f"the leg from {leg.start} to {leg.end} is {has_nm:.1f} NM, but {which} "
        f"{needs_nm:.1f} NM; expected a longer leg or a lower speed",
    )


def _passed(route: Route) -> Iterator[tuple[str, float, float]]:
    """Every fix from the start on: its name, how far from the one before (m), the course there."""
    yield route.points[0].name, 0.0, route.legs[0].course_rad
    for leg in route.legs:
        yield leg.name, leg.length_m, leg.course_rad


def _speed_limits(exercise: Exercise, machine: Machine, route: Route) -> Iterator[Finding]:
    """Coded speed limits against the slowest speed of the type, and the miles to slow down."""
    limits = {leg.fix.name: leg.speed_limit_kt for leg in exercise.legs_ahead if leg.speed_limit_kt}
    start = exercise.start
    flown_m = 0.0
    for name, length_m, course_rad in _passed(route):
        flown_m += length_m
        limit_kt = limits.get(name)
        if limit_kt is None:
            continue
        if limit_kt < exercise.reference_kt:
            yield Finding(
                "leg",
                name,
                f"{plain_number(limit_kt)} kt at {name} is below the slowest speed of "
                f"{exercise.aircraft.title}, {exercise.reference_kt:.0f} kt with landing flap at "
                f"{start.mass_t:g} t; expected a higher limit",
            )
            continue
        if flown_m == 0.0:
            continue
        needs_nm = machine.slowing_nm(start.altitude_ft, start.speed_kt, course_rad, limit_kt)
        if needs_nm > flown_m / NM + _ROUNDING_NM:
            yield Finding(
                "start",
                "speed",
                f"{name} is to be crossed at {plain_number(limit_kt)} kt; from "
                f"{plain_number(start.speed_kt)} kt that takes {needs_nm:.1f} NM, "
                f"level at idle with everything out; there are {flown_m / NM:.1f} NM",
            )


class _Level(NamedTuple):
    """An altitude that the route holds somewhere: the distance flown there (m), its constraint."""

    name: str
    flown_m: float
    altitude_ft: float
    constraint: str


def _gradients(exercise: Exercise, machine: Machine, route: Route) -> Iterator[Finding]:
    """From each altitude that must be held to each that must be reached."""
    by_name = {leg.fix.name: leg for leg in exercise.legs_ahead}
    start = exercise.start
    levels = [_Level("the start", 0.0, start.altitude_ft, "at")]
    flown_m = 0.0
    for name, length_m, course_rad in _passed(route):
        flown_m += length_m
        coded = by_name.get(name)
        if coded is None or not coded.constraint or flown_m == 0.0:
            continue  # begun over a fix, the start stands for what is coded there
        here = _Level(name, flown_m, coded.altitude_ft, coded.constraint)
        for before in levels:
            found = _between(exercise, machine, before, here, course_rad)
            if found is not None:
                yield found
                break
        levels.append(here)


def _between(
    exercise: Exercise, machine: Machine, before: _Level, here: _Level, course_rad: float
) -> Finding | None:
    miles = (here.flown_m - before.flown_m) / NM
    rise_ft = here.altitude_ft - before.altitude_ft
    kind, speed_kt = exercise.aircraft, exercise.start.speed_kt
    middle_ft = 0.5 * (here.altitude_ft + before.altitude_ft)
    is_start = before.flown_m == 0.0
    where = ("start", "altitude") if is_start else ("leg", here.name)
    way = f"from {before.name} at {plain_number(before.altitude_ft)} ft to {here.name} at "
    way += f"{plain_number(here.altitude_ft)} ft"
    if rise_ft < 0.0 and here.constraint == "at":
        has = machine.steepest_ft_per_nm(middle_ft, speed_kt, course_rad)
        needs = -rise_ft / miles if miles > 0.0 else math.inf
        if needs > has:
            return Finding(
                *where,
                f"{way} the descent is {_per_nm(needs, miles)}; {kind.title} at idle with "
                f"everything out loses {has:.0f} ft/NM in this wind; expected a lower start of "
                "the descent or a longer leg",
            )
    if rise_ft > 0.0 and before.constraint == "at":
        has = machine.best_climb_ft_per_nm(middle_ft, speed_kt, course_rad, 0)
        needs = rise_ft / miles if miles > 0.0 else math.inf
        if needs > has:
            return Finding(
                *where,
                f"{way} the climb is {_per_nm(needs, miles)}; {kind.title} climbs at most "
                f"{has:.0f} ft/NM in this wind; expected a start high enough for the procedure",
            )
    return None


def _per_nm(gradient: float, miles: float) -> str:
    return f"{gradient:.0f} ft/NM" if math.isfinite(gradient) else f"to be made in {miles:.1f} NM"


def _missed(exercise: Exercise, machine: Machine) -> Iterator[Finding]:
    """The climb from minimums to each altitude that the missed approach is to reach."""
    approach, kind = exercise.approach, exercise.aircraft
    flap = kind.stage_for("go around")
    speed_kt = max(exercise.reference_kt, kind.manoeuvre_kt(machine.mass_t, flap))
    height_ft = approach.minimums_ft - approach.runway.elevation_ft
    slope = math.tan(approach.glideslope.angle_deg * DEG)
    flown_m = max(0.0, (height_ft - approach.glideslope.crossing_ft) * FT / slope)
    x_m = y_m = 0.0
    for leg in approach.missed_legs:
        east_m, north_m = leg.fix.x_m - x_m, leg.fix.y_m - y_m
        flown_m += math.hypot(east_m, north_m)
        x_m, y_m = leg.fix.x_m, leg.fix.y_m
        rise_ft = leg.altitude_ft - approach.minimums_ft
        if not leg.constraint or rise_ft <= 0.0 or flown_m <= 0.0:
            continue
        needs = rise_ft / (flown_m / NM)
        middle_ft = approach.minimums_ft + 0.5 * rise_ft
        has = machine.best_climb_ft_per_nm(middle_ft, speed_kt, math.atan2(east_m, north_m), flap)
        if needs > has:
            yield Finding(
                "missed leg",
                leg.fix.name,
                f"{leg.fix.name} at {plain_number(leg.altitude_ft)} ft is {flown_m / NM:.1f} NM "
                f"from the decision: a climb of {needs:.0f} ft/NM; {kind.title} at "
                f"{machine.mass_t:g} t climbs at most {has:.0f} ft/NM in this wind; expected a "
                "lower altitude or a longer way",
            )
