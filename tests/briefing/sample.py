"""A small exercise made by hand: twin jet, runway 14, 3° path, fixes on the centre line."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from tests.world.types import twin_jet
from trainer.scenario.exercise import (
    Airport,
    Approach,
    Criterion,
    DmeStation,
    Event,
    Exercise,
    Fix,
    Flow,
    Gate,
    Glideslope,
    House,
    Leg,
    Localizer,
    Runway,
    Start,
    Weather,
    WindLayer,
)
from trainer.scenario.moments import Compare, Figure
from trainer.units import DEG, NM

COURSE_DEG = 143.0


def along(distance_nm: float, right_nm: float = 0.0) -> tuple[float, float]:
    """x, y (m) of a place before the threshold and right of the course."""
    sine, cosine = math.sin(COURSE_DEG * DEG), math.cos(COURSE_DEG * DEG)
    back_m, right_m = distance_nm * NM, right_nm * NM
    return -back_m * sine + right_m * cosine, -back_m * cosine - right_m * sine


def fix(name: str, distance_nm: float, right_nm: float = 0.0) -> Fix:
    x_m, y_m = along(distance_nm, right_nm)
    return Fix(name, x_m, y_m, math.hypot(distance_nm, right_nm))


OUTER, FINAL, BEYOND = fix("VANTO", 14.0), fix("ORMIK", 9.0), fix("SULDE", -6.0, 4.0)
RUNWAY = Runway("14", COURSE_DEG, 2500.0, 24.0, "full", -33.0, -117.0)
APPROACH = Approach(
    name="ILS 14",
    runway=RUNWAY,
    localizer=Localizer("110.35", "IQXM", COURSE_DEG, 2800.0),
    glideslope=Glideslope(3.0, 50.0),
    dme=DmeStation("110.35", *along(-0.16), 30.0, 0.16),
    legs=(Leg(OUTER, "above", 3000.0, 210.0), Leg(FINAL, "at", 3000.0)),
    final_fix=FINAL,
    glide_check_altitude_ft=3000.0,
    minimums_ft=225.0,
    missed_altitude_ft=4000.0,
    missed_legs=(Leg(BEYOND, "at", 4000.0),),
)
AIRPORT = Airport("QXZZ", "Test Atoll", 25.0, 19.0, "icao", 6000.0, (OUTER, FINAL, BEYOND))
FLOW = Flow(
    name="jet-ils",
    title="ILS, coupled",
    items=(),
    go_around=(),
    watches=(),
    gates=(Gate("stable", 1000.0, (Criterion("localizer", 0.5),), True),),
    checklists=(),
    announce=("lateral", "vertical"),
    ordered=(),
)


def exercise(**changes: Any) -> Exercise:
    """The exercise; keyword arguments replace fields."""
    x_m, y_m = along(16.0)
    made = Exercise(
        name="straight-in",
        title="Straight in",
        lesson="Each step at its own moment",
        level=1,
        brief="Level at 3000 ft.\nFly the ILS and land.",
        callsign="Marrow Two One",
        airport=AIRPORT,
        approach=APPROACH,
        aircraft=twin_jet(),
        flow=FLOW,
        house=House("standard", (), (), ()),
        start=Start(x_m, y_m, COURSE_DEG, 3000.0, 210.0, "0", "up", 58.0, 3000.0, 1009.0, "VANTO"),
        weather=Weather(1009.0, 15.0, 600.0, 3000.0, (WindLayer(0.0, 160.0, 8.0),), "dry", True),
        events=(
            Event(
                "cleared",
                Compare("distance", "below", Figure(15.0)),
                "Marrow Two One, cleared ILS approach runway 14",
                "approach",
            ),
        ),
        reference_kt=132.0,
        final_kt=137.0,
        digest="e" * 64,
    )
    return replace(made, **changes)
