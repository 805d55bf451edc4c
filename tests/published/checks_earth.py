"""The round earth: geodesics, the drop of the sea, arcs and turns over the ground."""

from __future__ import annotations

import math
from collections.abc import Callable

from tests.published.record import Check
from trainer.units import DEG, FT, KT, NM
from trainer.world.arcs import Arc, lay
from trainer.world.coverage import radio_horizon_m
from trainer.world.earth import EARTH_RADIUS_M, Plane, drop_m
from trainer.world.legs import anticipation_m, turn_radius_m
from trainer.world.path import path_height_m

KARNEY = "Karney, Algorithms for geodesics, J. Geodesy 87 (2013), table 2"
PHYSICS = "hand calculation, V²/(g·tan φ)"


def _drop_ft(distance_nm: float) -> Callable[[], float]:
    return lambda: drop_m(distance_nm * NM) / FT


def _curved_ft(distance_nm: float) -> Callable[[], float]:
    def more() -> float:
        figures = [path_height_m(distance_nm * NM, 3 * DEG, 50 * FT, on) for on in (True, False)]
        return (figures[0] - figures[1]) / FT

    return more


def _direct(index: int) -> Callable[[], float]:
    azimuth = 30.0 * DEG
    return lambda: Plane(40.0, 0.0, 0.0).place(1e7 * math.sin(azimuth), 1e7 * math.cos(azimuth))[
        index
    ]


def _inverse_m() -> float:
    return math.hypot(*Plane(-41.32, 174.81, 0.0).locate(40.96, -5.50))


def _degree_m(latitude_deg: float) -> Callable[[], float]:
    return lambda: Plane(latitude_deg - 0.5, 15.0, 0.0).locate(latitude_deg + 0.5, 15.0)[1]


def _radius_ft(speed_kt: float, bank_deg: float) -> Callable[[], float]:
    return lambda: turn_radius_m(speed_kt * KT, bank_deg * DEG) / FT


def _radius_m(speed_kt: float, bank_deg: float) -> Callable[[], float]:
    return lambda: turn_radius_m(speed_kt * KT, bank_deg * DEG)


def _lead_nm(turn_deg: float) -> Callable[[], float]:
    return lambda: anticipation_m(turn_deg * DEG, 160 * KT, 25 * DEG) / NM


def _lead_part(turn_deg: float) -> Callable[[], float]:
    return lambda: _lead_nm(turn_deg)() / _lead_nm(90)()


def _arc_nm(radius_nm: float, sweep_deg: float) -> Callable[[], float]:
    radius_m = radius_nm * NM
    end = (radius_m * math.sin(sweep_deg * DEG), radius_m * math.cos(sweep_deg * DEG))
    return lambda: lay(Arc(0.0, 0.0, True), 0.0, radius_m, *end).length_m / NM


CHECKS: tuple[Check, ...] = (
    Check("mean radius of the earth", "WGS-84 axes (NGA.STND.0036), (2a + b)/3", "computed",
          6_371_008.77, 0.1, "m", lambda: EARTH_RADIUS_M),
    *(
        Check(f"drop of the sea at {miles} NM", "d²/2R of the mean radius", "computed", feet,
              0.01, "ft", _drop_ft(miles))
        for miles, feet in ((1, 0.883), (2, 3.533), (3, 7.948), (4, 14.130), (5, 22.078),
                            (6, 31.793), (8, 56.521), (10, 88.314), (15, 198.706))
    ),
    Check("a straight path at 10 NM stands higher above the sea", "hand calculation, d²/2R",
          "computed", 88.314, 0.01, "ft", _curved_ft(10)),
    Check("direct problem, 10 000 km from 40° N at 30°: latitude", KARNEY, "published",
          41.79331020506, 1e-9, "°", _direct(0)),
    Check("direct problem, 10 000 km from 40° N at 30°: longitude", KARNEY, "published",
          137.84490004377, 1e-9, "°", _direct(1)),
    Check("inverse problem, Wellington to Salamanca", "geographiclib manual, first example",
          "library", 19_959_679.267, 0.001, "m", _inverse_m),
    *(
        Check(f"one degree of latitude about {latitude}°", "WGS-84 axes, meridian integrated",
              "computed", metres, 0.1, "m", _degree_m(latitude))
        for latitude, metres in ((0, 110_574.30), (45, 111_131.78))
    ),
    Check("one minute of latitude at 45°", "WGS-84 axes, radius of the meridian",
          "computed", 1.000107, 1e-6, "NM",
          lambda: Plane(45.0, 0.0, 0.0).locate(45.0 + 1 / 60, 0.0)[1] / NM),
    Check("true 090 with variation 10° east is magnetic", "rule: variation east, magnetic least",
          "rule of thumb", 80, 1e-9, "°",
          lambda: Plane(48.0, 11.0, 10.0).magnetic_course_deg(90.0)),
    Check("a place true north, variation 10° east: magnetic bearing", "the same", "rule of thumb",
          350, 1e-9, "°", lambda: math.degrees(
              math.atan2(*Plane(48.0, 11.0, 10.0).locate(49.0, 11.0))) % 360.0),
    Check("10 NM to magnetic north of 48° N 11° E, variation 10° east: longitude",
          "pyproj 3.7.2, geodesic to true 010", "library", 11.04323195, 1e-8, "°",
          lambda: Plane(48.0, 11.0, 10.0).place(0.0, 10 * NM)[1]),
    Check("magnetic 080 with variation 10° east is true", "rule: variation east, magnetic least",
          "rule of thumb", 90, 1e-9, "°", lambda: Plane(48.0, 11.0, 10.0).true_course_deg(80.0)),
    Check("radio horizon at 10 000 ft, antenna 15 ft up", "common practice, 1.23·(√h1 + √h2)",
          "rule of thumb", 127.764, 0.001, "NM", lambda: radio_horizon_m(10_000 * FT) / NM),
    *(
        Check(f"turn radius, 165 kt and {bank}°",
              "FAA AIM 5-4-7 c (its constant is 0.5 % above exact physics)", "published", feet,
              0.006 * feet, "ft", _radius_ft(165, bank))
        for bank, feet in ((30, 4194), (20, 6654))
    ),
    Check("turn radius, 120 kt and 30°", PHYSICS, "computed", 2208.33, 0.01,
          "ft", _radius_ft(120, 30)),
    Check("turn radius, 100 kt and 45°", "aviation formulary: 891 ft (exact 885)", "published",
          891, 6, "ft", _radius_ft(100, 45)),
    *(
        Check(f"turn radius, {speed} kt and {bank}°", PHYSICS, "computed", metres, 0.01, "m",
              _radius_m(speed, bank))
        for speed, bank, metres in ((120, 60, 224.367), (180, 25, 1875.119))
    ),
    Check("turn radius, 160 kt and 25°", "ICAO Doc 8168 Vol II, III-3-1: V²/(127 094 tan φ)",
          "published", 0.800, 0.001, "NM", lambda: turn_radius_m(160 * KT, 25 * DEG) / NM),
    *(
        Check(f"lead of a fly-by turn of {turn}°, 160 kt and 25°",
              "ICAO Doc 8168 Vol II, III-3-8: r·tan(A/2)", "computed", miles, 0.0001, "NM",
              _lead_nm(turn))
        for turn, miles in ((90, 0.79999), (30, 0.21436))
    ),
    Check("lead of a square turn at standard rate, 120 kt", "hand calculation, V/ω", "computed",
          0.637, 0.001, "NM", lambda: anticipation_m(
              90 * DEG, 120 * KT, math.atan(120 * KT * 3 * DEG / 9.80665)) / NM),
    Check("lead of a square turn, half a percent of speed at 120 kt", "civil rule, speed/200",
          "rule of thumb", 0.6, 0.04, "NM", lambda: anticipation_m(
              90 * DEG, 120 * KT, math.atan(120 * KT * 3 * DEG / 9.80665)) / NM),
    *(
        Check(f"part of the square lead that {turn}° needs", f"civil rule, about {rule}",
              "rule of thumb", part, tolerance, "parts",
              _lead_part(turn))
        for turn, rule, part, tolerance in ((45, "half", 0.5, 0.09), (30, "a third", 0.333, 0.07))
    ),
    Check("a 12 NM arc through 90°", "hand calculation, 2πr/4", "computed", 18.85, 0.005, "NM",
          _arc_nm(12, 90)),
    Check("one degree of a 12 NM arc", "rule of the trade, 12/60", "rule of thumb", 0.2, 0.01,
          "NM", _arc_nm(12, 1)),
)  # fmt: skip
