"""What an altimeter makes of the air: wrong settings, cold days, the level where settings change.

Owns the rules around the pressure altimeter; the atmosphere itself is `air`. It knows no chart and
no crew. The surprising rule: the published correction for a cold day is what must be *added* to be
at a height, and it is more than the error of an altimeter that *shows* that height: 2,000 ft at
−40 °C need 475 ft more, but an altimeter that shows 2,000 ft is only 384 ft wrong.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import DEG, FT
from trainer.world.air import (
    LAPSE_K_PER_M,
    STANDARD_SETTING_HPA,
    Air,
    density_altitude_m,
    deviation_k,
    setting_altitude_m,
    standard_temperature_k,
)

GEOPOTENTIAL_RADIUS_M = 6356766.0
"""Radius of the standard atmosphere's geopotential, m (ICAO Doc 7488)."""
COLD_RULE_SHARE = 0.04
"""Share of the height to add per 10 K below standard (ICAO Doc 8168 Vol I, III-1-4)."""
TABLE_MOST_FT = 5000.0
"""Height above the station beyond which the published table is not read on (FAA AIM 7-3)."""

_LAPSE_PER_FT = LAPSE_K_PER_M * FT
_LEVEL_FT = 500.0


class Altitudes(NamedTuple):
    """The altitudes of one place, ft.

    `indicated_ft` on the setting used, `pressure_ft` on the standard one, `true_ft` above sea
    level, `density_ft` where the standard air is as dense.
    """

    indicated_ft: float
    pressure_ft: float
    true_ft: float
    density_ft: float


def altitudes(air: Air, height_m: float, setting_hpa: float) -> Altitudes:
    """All altitudes at `height_m` above sea level (to 11 km), altimeter on `setting_hpa`."""
    return Altitudes(
        air.indicated_ft(height_m, setting_hpa),
        air.pressure_altitude_m(height_m) / FT,
        height_m / FT,
        density_altitude_m(air.state(height_m)) / FT,
    )


def geometric_m(geopotential_m: float) -> float:
    """Tape-measure height (m) of a geopotential height (to 11 km), which is 5 ft less at 10,000.

    Everything in `world` uses the constant gravity of the geopotential height; the difference is
    for comparing with tables. Source: ICAO Doc 7488.
    """
    return GEOPOTENTIAL_RADIUS_M * geopotential_m / (GEOPOTENTIAL_RADIUS_M - geopotential_m)


def setting_error_ft(set_hpa: float, right_hpa: float) -> float:
    """How much too high (ft) an altimeter reads on `set_hpa` when `right_hpa` (870..1090) is right.

    The same at every height: the setting shifts the scale.
    """
    return (setting_altitude_m(right_hpa) - setting_altitude_m(set_hpa)) / FT


def transition_level(
    transition_altitude_ft: float, setting_hpa: float, least_layer_ft: float = 0.0
) -> int:
    """The lowest flight level at or above the transition altitude, in steps of 5 (50 = FL 50).

    `least_layer_ft` is the depth a state wants between the two (0, or 1000). Source: ICAO
    Doc 8168 Vol III definition; the table in common use follows from it.
    """
    altitude_ft = transition_altitude_ft + setting_altitude_m(setting_hpa) / FT + least_layer_ft
    return 5 * math.ceil(altitude_ft / _LEVEL_FT - 1e-9)


def _station_air(temperature_c: float, elevation_ft: float) -> Air:
    station_m = elevation_ft * FT
    return Air(deviation_k(temperature_c, station_m), STANDARD_SETTING_HPA, station_m)


def cold_error_ft(height_ft: float, temperature_c: float, elevation_ft: float = 0.0) -> float:
    """How much lower (ft) than shown an aircraft is; negative in air warmer than standard.

    Args:
        height_ft: shown above the station, 0..10 000.
        temperature_c: at the station, −60..50; the deviation from standard holds at all heights.
        elevation_ft: of the station.

    Equals ΔH = (−ΔT/L₀) ln(1 + L₀ H/(T₀ + L₀ Hₑ)) of PANS-OPS, L₀ = −0.0065 K/m.
    """
    air = _station_air(temperature_c, elevation_ft)
    true_m = air.height_at_indicated_m(elevation_ft + height_ft, STANDARD_SETTING_HPA)
    return elevation_ft + height_ft - true_m / FT


def cold_correction_ft(height_ft: float, temperature_c: float, elevation_ft: float = 0.0) -> float:
    """What must be added (ft) to the altitude shown to be `height_ft` above the station truly.

    Arguments as of `cold_error_ft`. The exact method: the hydrostatic law, solved.
    """
    air = _station_air(temperature_c, elevation_ft)
    shown_ft = air.indicated_ft((elevation_ft + height_ft) * FT, STANDARD_SETTING_HPA)
    return shown_ft - elevation_ft - height_ft


def formula_correction_ft(
    height_ft: float, temperature_c: float, elevation_ft: float = 0.0
) -> float:
    """The correction (ft) by the published near formula, within 1 % of the exact one.

    H (15 − t₀)/(273 + t₀ − ½ L₀ (H + Hₑ)), t₀ reduced to sea level (ICAO Doc 8168 Vol I, III-1-4).
    """
    at_sea_c = temperature_c + _LAPSE_PER_FT * elevation_ft
    mean_k = 273.0 + at_sea_c - 0.5 * _LAPSE_PER_FT * (height_ft + elevation_ft)
    return height_ft * (15.0 - at_sea_c) / mean_k


def table_correction_ft(height_ft: float, temperature_c: float) -> int:
    """The correction (ft) as the published table has it: rounded up to 10 ft, 0 when not cold.

    For a station at sea level, as the table; above 5,000 ft the 5,000 ft column counts
    (FAA AIM 7-3, ICAO Doc 8168).
    """
    exact_ft = formula_correction_ft(min(height_ft, TABLE_MOST_FT), temperature_c)
    return 10 * max(0, math.ceil(exact_ft / 10.0 - 1e-9))


def rule_correction_ft(height_ft: float, temperature_c: float, elevation_ft: float = 0.0) -> float:
    """The correction (ft) by the rule: 4 % of the height per 10 K below standard at the station.

    Good above −15 °C (ICAO Doc 8168).
    """
    below_k = max(0.0, -deviation_k(temperature_c, elevation_ft * FT))
    return height_ft * COLD_RULE_SHARE * below_k / 10.0


def corrected_altitude_ft(
    altitude_ft: float, temperature_c: float, elevation_ft: float, step_ft: float = 10.0
) -> float:
    """A published altitude made safe for a cold station, up to the next `step_ft` (10 or 100).

    By the table, on the height above the station. Rounded up only: minima are never rounded down
    (FAA AIM 7-3).
    """
    corrected_ft = altitude_ft + table_correction_ft(altitude_ft - elevation_ft, temperature_c)
    return step_ft * math.ceil(corrected_ft / step_ft - 1e-9)


def barometric_angle_deg(
    angle_deg: float, temperature_c: float, elevation_ft: float = 0.0
) -> float:
    """True angle (°) near the ground of a path coded as `angle_deg` of barometric altitudes.

    tan(true) = tan(coded) · T/T standard: shallower on a cold day. The beam of a glide path, or a
    geometric (LPV) path, keeps its angle in any air.
    """
    standard_k = standard_temperature_k(elevation_ft * FT)
    return math.atan(math.tan(angle_deg * DEG) * (temperature_c + 273.15) / standard_k) / DEG


def mean_barometric_angle_deg(
    angle_deg: float, air: Air, setting_hpa: float, low_ft: float, high_ft: float
) -> float:
    """True mean angle (°) of a barometric path between two indicated altitudes (high above low)."""
    high_m = air.height_at_indicated_m(high_ft, setting_hpa)
    low_m = air.height_at_indicated_m(low_ft, setting_hpa)
    return math.atan(math.tan(angle_deg * DEG) * (high_m - low_m) / ((high_ft - low_ft) * FT)) / DEG


def angle_temperature_c(angle_deg: float, true_deg: float, elevation_ft: float = 0.0) -> float:
    """Station temperature (°C) at which a path coded as `angle_deg` is truly `true_deg`.

    The limits of a barometric path: too shallow when colder, too steep when hotter.
    """
    standard_k = standard_temperature_k(elevation_ft * FT)
    return standard_k * math.tan(true_deg * DEG) / math.tan(angle_deg * DEG) - 273.15
