"""Localizer: course width, sensitivity, coverage by profile, channels."""

from __future__ import annotations

import math
from collections.abc import Callable

from tests.published.record import Check
from tests.world.aids import at, from_antenna, localizer
from trainer.units import DEG, FT, NM
from trainer.world.coverage import coverage_for
from trainer.world.localizer import FULL_SCALE_DDM, half_width_rad

WIDTH = "FAA AIM 1-1-9 b.2: 700 ft at the threshold, 2·atan(350 ft/L)"
ICAO = "ICAO Annex 10 Vol I, 3.1.3.3.1 and att. C fig. C-7"
AIM = "FAA AIM 1-1-9 b.5"


def _width(antenna_ft: float) -> Callable[[], float]:
    return lambda: 2.0 * half_width_rad(antenna_ft * FT) / DEG


def _half_width(antenna_m: float) -> Callable[[], float]:
    return lambda: half_width_rad(antenna_m) / DEG


def _dot_m(before_nm: float) -> Callable[[], float]:
    """Metres aside at which one dot shows, found by halving."""

    def aside_m() -> float:
        low, high = 0.0, 3000.0
        for _ in range(60):
            middle = 0.5 * (low + high)
            if at(localizer(), before_nm, middle, 2000).dots < 1.0:
                low = middle
            else:
                high = middle
        return low

    return aside_m


def _is_covered(profile: str, range_nm: float, azimuth_deg: float, height_ft: float) -> float:
    state = from_antenna(localizer(profile=profile), range_nm, azimuth_deg, height_ft)
    return float(state == "covered")


def _covers(
    profile: str, range_nm: float, azimuth_deg: float, expected: int, source: str,
    height_ft: float = 4000, kind: str = "published",
) -> Check:  # fmt: skip
    what = f"{profile}: guaranteed at {range_nm} NM, {azimuth_deg}° aside, {height_ft:.0f} ft"
    return Check(what, source, kind, expected, 0, "0/1",
                 lambda: _is_covered(profile, range_nm, azimuth_deg, height_ft))  # fmt: skip


def _ddm_per_m() -> float:
    """Difference in depth of modulation per metre aside at the threshold."""
    return FULL_SCALE_DDM / 2.0 * at(localizer(), 0.0, 10.0, 50).dots / 10.0


def _is_at_least(azimuth_deg: float, least_ddm: float) -> Callable[[], float]:
    """Whether the needle shows at least this difference of modulation, seen 12 NM out."""

    def is_pegged() -> float:
        aside_m = 12 * NM * math.sin(azimuth_deg * DEG)
        along_m = 12 * NM * math.cos(azimuth_deg * DEG)
        seen = localizer().receive(aside_m, 2800.0 - along_m, 900.0)
        return float(seen.is_usable and FULL_SCALE_DDM / 2.0 * seen.dots >= least_ddm)

    return is_pegged


CHECKS: tuple[Check, ...] = (
    *(
        Check(f"course width, antenna {feet} ft beyond the threshold", WIDTH, "computed",
              width, 0.01, "°", _width(feet))
        for feet, width in ((8_000, 5.01), (10_000, 4.01), (11_000, 3.65), (12_000, 3.34))
    ),
    Check("course width never below 3°", "FAA Instrument Flying Handbook, as quoted", "published",
          3.0, 1e-9, "°", _width(20_000)),
    Check("course width never above 6°", "ICAO Annex 10 Vol I, fig. C-9", "published",
          6.0, 1e-9, "°", _width(5_000)),
    Check("antenna distance where 3° begins to hold", WIDTH, "computed", 3.0, 1e-4, "°",
          _width(13_366)),
    Check("antenna distance where 6° begins to hold", WIDTH, "computed", 6.0, 1e-3, "°",
          _width(6_678)),
    *(
        Check(f"half course angle, antenna {metres} m beyond the threshold",
              "hand calculation, atan(350 ft/D) within 1.5° and 3°", "computed", half, 0.0005, "°",
              _half_width(metres))
        for metres, half in ((2200, 2.776), (2500, 2.443), (2800, 2.182), (3000, 2.037),
                             (3300, 1.852), (3600, 1.697), (4000, 1.528), (4300, 1.5))
    ),
    Check("full course width at the threshold", "FAA AIM 1-1-9 b.2", "published", 700, 0.5, "ft",
          lambda: 2 * 2800.0 * math.tan(half_width_rad(2800.0)) / FT),
    Check("full course width at the threshold, design value",
          "ICAO Doc 8168 Vol II, II-1-1 standard conditions (210 m; 700 ft is 1.6 % more)",
          "published", 210, 3.5, "m", lambda: 2 * 2800.0 * math.tan(half_width_rad(2800.0))),
    Check("displacement sensitivity at the threshold",
          "ICAO Annex 10 Vol I, 3.1.3.7 and fig. C-9 (exact for 106.9 m; 700 ft is 106.7 m)",
          "published", 0.00145, 0.000005, "DDM/m", _ddm_per_m),
    Check("half scale", "14 CFR 171.253 (interim microwave system, same signal)", "published",
          0.0775, 1e-12, "DDM", lambda: FULL_SCALE_DDM / 2),
    Check("dots at 0.155/0.00145 m abeam the threshold", "ICAO Annex 10 Vol I, 3.1.3.7",
          "computed", 2.0, 0.006, "dots", lambda: at(localizer(), 0.0, 0.155 / 0.00145, 50).dots),
    Check("dots at 350 ft abeam the threshold", "FAA AIM 1-1-9 b.2", "published", 2.0, 1e-6,
          "dots", lambda: at(localizer(), 0.0, 350 * FT, 50).dots),
    Check("dots 2 283 ft aside at 10 NM, antenna 11 000 ft beyond",
          "hand calculation, 350 ft × (60 761 + 11 000)/11 000", "computed", 2.0, 0.002, "dots",
          lambda: at(localizer(antenna_m=11_000 * FT), 10.0, 2_283 * FT, 3000).dots),
    *(
        Check(f"one dot at {miles} NM", "hand calculation, (D + 2 800 m)·tan 1.091°", "computed",
              metres, 0.6, "m", _dot_m(miles))
        for miles, metres in ((0, 53.3), (1, 89), (2, 124), (4, 194), (6, 265), (8, 335),
                              (10, 406), (15, 582))
    ),
    *(
        Check(f"needle at least {least} DDM at {azimuth}° aside", "ICAO Annex 10 Vol I, 3.1.3.7.3",
              "published", 1, 0, "0/1", _is_at_least(azimuth, least))
        for azimuth, least in ((3, 0.180), (5, 0.180), (10, 0.180), (20, 0.155), (35, 0.155))
    ),
    _covers("icao", 24.9, 9, 1, ICAO),
    _covers("icao", 25.1, 9, 0, ICAO),
    _covers("icao", 16.9, 30, 1, ICAO),
    _covers("icao", 17.1, 30, 0, ICAO),
    _covers("icao", 16.9, 34.9, 1, ICAO),
    _covers("icao", 9.0, 36, 0, ICAO + ": beyond 35° only where provided"),
    _covers("reduced", 17.9, 9, 1, ICAO + ", reduced"),
    _covers("reduced", 18.1, 9, 0, ICAO + ", reduced"),
    _covers("reduced", 9.9, 30, 1, ICAO + ", reduced"),
    _covers("reduced", 10.1, 30, 0, ICAO + ", reduced"),
    _covers("us", 17.9, 9, 1, AIM),
    _covers("us", 18.1, 0, 0, AIM),
    _covers("us", 9.9, 20, 1, AIM),
    _covers("us", 10.1, 20, 0, AIM),
    _covers("icao", 24.9, 0, 1, "ICAO Annex 10 Vol I, fig. C-8: from 2 000 ft", 2010),
    _covers("icao", 24.9, 0, 0, "ICAO Annex 10 Vol I, fig. C-8: from 2 000 ft", 1900),
    _covers("us", 17.9, 0, 1, AIM + ": 1 000 ft to 4 500 ft", 1010),
    _covers("us", 17.9, 0, 0, AIM + ": 1 000 ft to 4 500 ft", 900),
    _covers("us", 17.9, 0, 1, AIM + ": 1 000 ft to 4 500 ft", 4490),
    _covers("us", 17.9, 0, 0, AIM + ": 1 000 ft to 4 500 ft", 4510),
    _covers("icao", 6.0, 0, 0, "ICAO Annex 10 Vol I, 3.1.3.3, 7° upper limit", 4800,
            "from memory"),
    Check("floor of coverage over 1 500 ft terrain", "ICAO Annex 10 Vol I, fig. C-8 note",
          "published", 2500, 1e-6, "ft",
          lambda: coverage_for("icao", 1500 * FT).localizer_floor_m / FT),
    Check("floor of coverage over 500 ft terrain", "ICAO Annex 10 Vol I, fig. C-8 note",
          "published", 2000, 1e-6, "ft",
          lambda: coverage_for("icao", 500 * FT).localizer_floor_m / FT),
)  # fmt: skip
