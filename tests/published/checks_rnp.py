"""Satellite approaches: scales of deviation and levels of service."""

from __future__ import annotations

import math
from collections.abc import Callable

from tests.published.record import Check
from trainer.units import DEG, FT, NM
from trainer.world.rnp import LpvPath, baro_vertical, linear_lateral, service_level

AIM = "FAA AIM 1-1-18 (WAAS)"
DO = "RTCA DO-229"
LEVELS = ("", "LNAV", "LNAV/VNAV", "LPV")
PATH = LpvPath(0.0, 3 * DEG, 50 * FT, 2500.0)


def _level(horizontal_m: float, vertical_m: float, is_below_250: bool = False) -> float:
    found = service_level(horizontal_m, vertical_m, is_below_250=is_below_250)
    return float(LEVELS.index(found))


def _serves(
    horizontal_m: float, vertical_m: float, level: str, is_below_250: bool = False
) -> Check:
    minima = "below 250 ft" if is_below_250 else "250 ft and above"
    what = f"protection {horizontal_m} m by {vertical_m} m, minima {minima}: {level or 'nothing'}"
    return Check(what, AIM, "published", LEVELS.index(level), 0, "place in the order",
                 lambda: _level(horizontal_m, vertical_m, is_below_250))  # fmt: skip


def _lateral_m(before_nm: float) -> Callable[[], float]:
    return lambda: PATH.lateral(0.0, -before_nm * NM).full_scale_m


def _vertical_m(before_nm: float) -> Callable[[], float]:
    return lambda: PATH.vertical(0.0, -before_nm * NM, 100.0).full_scale_m


CHECKS: tuple[Check, ...] = (
    _serves(39, 49, "LPV"),
    _serves(41, 49, "LNAV/VNAV"),
    _serves(39, 51, "LNAV"),
    _serves(555, math.inf, "LNAV"),
    _serves(557, 10, ""),
    _serves(30, 34, "LPV", True),
    _serves(30, 36, "LNAV/VNAV", True),
    Check("integrity limit of LNAV is 0.3 NM", AIM, "published", 1, 0, "0/1",
          lambda: float(_level(0.3 * NM, math.inf) == 1 and _level(0.3 * NM + 1, math.inf) == 0)),
    Check("½ RNP (the call) on a scale of twice RNP 0.3", "FAA AC 20-138", "from memory", 0.5,
          1e-9, "dots", lambda: linear_lateral(0.15 * NM, 0.3 * NM).dots),
    Check("1 × RNP (the limit) on a scale of twice RNP 0.3", "FAA AC 20-138", "from memory", 1.0,
          1e-9, "dots", lambda: linear_lateral(0.3 * NM, 0.3 * NM).dots),
    Check("½ RNP on a display that stops at RNP 0.3", DO, "from memory", 1.0, 1e-9, "dots",
          lambda: linear_lateral(0.15 * NM, 0.3 * NM, is_narrow=True).dots),
    Check("75 ft below a barometric path", "Part-FCL app. 7 and 9; ICAO Doc 9613", "from memory",
          -1.0, 1e-9, "dots", lambda: baro_vertical(1925 * FT, 2000 * FT).dots),
    Check("LPV, full scale at the threshold", AIM + " d: 700 ft in all",
          "published", 350, 1e-6, "ft", lambda: _lateral_m(0.0)() / FT),
    Check("LPV, full scale sideways at 10 NM, 2 500 m runway", DO + "; hand calculation",
          "from memory", 811, 0.5, "m", _lateral_m(10)),
    Check("LPV, widest full scale sideways", AIM + " d", "published", 1, 1e-9, "NM",
          lambda: _lateral_m(40)() / NM),
    *(
        Check(f"LPV, full scale up and down at {miles} NM", DO + "; hand calculation",
              "from memory", metres, 0.005, "m", _vertical_m(miles))
        for miles, metres in ((0.1, 15.0), (2, 52.295), (5, 125.027), (9, 150.0))
    ),
)  # fmt: skip
