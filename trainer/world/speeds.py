"""Speeds by rule: final approach speed, flap selection, approach categories, published limits.

Owns the additive rules and the published tables; the factors come from the type. It knows no
procedure and judges nobody. The surprising rule: the wind adds to the reference speed only as
headwind; a tailwind adds nothing.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.units import DEG, FT, KT, NM, G
from trainer.world.air import STANDARD_SETTING_HPA, Air, cas_from_mach, tas_from_eas
from trainer.world.aircraft import AircraftType
from trainer.world.legs import turn_radius_m

LEAST_ADDITIVE_KT = 5.0
MOST_ADDITIVE_KT = 20.0

_TROPOPAUSE_M = 11000.0


def final_speed_kt(reference_kt: float, head_kt: float = 0.0, gust_kt: float = 0.0) -> float:
    """Final approach speed (kt): reference + half the headwind + the full gust, within 5..20 kt.

    `head_kt` steady headwind (negative = tailwind, adds nothing), `gust_kt` gust above the steady
    wind. Source: common practice.
    """
    added_kt = 0.5 * max(0.0, head_kt) + max(0.0, gust_kt)
    return reference_kt + min(MOST_ADDITIVE_KT, max(LEAST_ADDITIVE_KT, added_kt))


def selection_kt(kind: AircraftType, mass_t: float, stage: int) -> float | None:
    """Planned speed (kt) for selecting flap `stage`, scaled to `mass_t`; None for no flap."""
    planned_kt = kind.flaps[stage].select_kt
    if planned_kt is None:
        return None
    return planned_kt * math.sqrt(mass_t / kind.mass_typical_t)


def light_final_speed_kt(reference_kt: float, gust_kt: float = 0.0) -> float:
    """Final approach speed (kt) of a light aircraft: reference plus half the gust (0..30 kt).

    Source: FAA Airplane Flying Handbook, practice.
    """
    return reference_kt + 0.5 * max(0.0, gust_kt)


def reference_from_stall_kt(stall_kt: float, is_one_g: bool) -> float:
    """Least reference speed (kt) of a stalling speed in landing configuration.

    `is_one_g`: 1.23 times the one-g reference stalling speed (14 CFR 25.125(b)(2)); otherwise 1.3
    times the least speed of the older rule (14 CFR 23.73).
    """
    return (1.23 if is_one_g else 1.3) * stall_kt


class CategorySpeeds(NamedTuple):
    """Speeds (kt) of one approach category for the design of procedures, not flown minima.

    `threshold_kt` is where the next category begins (infinite for E); the pairs are least and most.
    """

    threshold_kt: float
    initial_kt: tuple[float, float]
    final_kt: tuple[float, float]
    circling_kt: float
    missed_kt: float


CATEGORIES: dict[str, CategorySpeeds] = {
    "A": CategorySpeeds(91.0, (90.0, 150.0), (70.0, 100.0), 100.0, 110.0),
    "B": CategorySpeeds(121.0, (120.0, 180.0), (85.0, 130.0), 135.0, 150.0),
    "C": CategorySpeeds(141.0, (160.0, 240.0), (115.0, 160.0), 180.0, 240.0),
    "D": CategorySpeeds(166.0, (185.0, 250.0), (130.0, 185.0), 205.0, 265.0),
    "E": CategorySpeeds(math.inf, (185.0, 250.0), (155.0, 230.0), 240.0, 275.0),
}
"""Approach categories: bounds 14 CFR 97.3, speeds ICAO Doc 8168 Vol I, I-4-1-2 (rows B, D, E, and
the final missed approach speeds, from memory)."""

_STRAIGHT_NM = {"A": 0.3, "B": 0.4, "C": 0.5, "D": 0.6, "E": 0.7}
_CIRCLING_WIND_KT = 25.0
_CIRCLING_BANK_DEG = 20.0
_RATE_ONE_RAD_S = 3.0 * DEG
_CIRCLING_ABOVE_FT = 1000.0


def category_speed_kt(stall_kt: float, one_g_kt: float) -> float:
    """The speed (kt) that decides the category: the higher of 1.3 VS0 and 1.23 VS1g.

    Both stalling speeds at the greatest landing mass (ICAO Doc 8168 Vol I, 1.3.3).
    """
    return max(
        reference_from_stall_kt(stall_kt, is_one_g=False),
        reference_from_stall_kt(one_g_kt, is_one_g=True),
    )


def approach_category(speed_kt: float) -> str:
    """The approach category, "A" to "E", of a speed at the threshold (14 CFR 97.3)."""
    for category, speeds in CATEGORIES.items():
        if speed_kt < speeds.threshold_kt:
            return category
    raise ValueError("speed is not a number")


def circling_radius_nm(category: str, elevation_ft: float = 1000.0) -> float:
    """Radius (NM) of the circling area from each threshold, 1,000 ft above `elevation_ft`.

    Two turn radii and a straight part, at the circling speed in ISA + 15 with 25 kt of wind, bank
    20° or that of 3°/s if less (ICAO Doc 8168 Vol II, 7.2; straight parts from memory). As there,
    the speed counts as equivalent airspeed and the level as pressure altitude.
    KeyError for another category than A to E.
    """
    air = Air(15.0, STANDARD_SETTING_HPA)
    level_m = (elevation_ft + _CIRCLING_ABOVE_FT) * FT
    tas_ms = tas_from_eas(CATEGORIES[category].circling_kt * KT, air.state_at(level_m))
    speed_ms = tas_ms + _CIRCLING_WIND_KT * KT
    rate_one_rad = math.atan(speed_ms * _RATE_ONE_RAD_S / G)
    radius_m = turn_radius_m(speed_ms, min(_CIRCLING_BANK_DEG * DEG, rate_one_rad))
    return 2.0 * radius_m / NM + _STRAIGHT_NM[category]


def height_loss_ft(speed_kt: float, is_radio: bool) -> float:
    """Height (ft) allowed for starting a missed approach at a threshold speed (kt).

    0.125 V + 28.3 m with a pressure altimeter, 0.177 V − 3.2 m with a radio altimeter (ICAO
    Doc 8168 Vol II, III-3-6, formulas from memory; they give the published table).
    """
    return (0.177 * speed_kt - 3.2 if is_radio else 0.125 * speed_kt + 28.3) / FT


def speed_limit_kt(
    altitude_ft: float, height_ft: float, distance_nm: float, airspace: str
) -> float:
    """Greatest indicated airspeed (kt) by 14 CFR 91.117 (a minimum safe speed may be flown).

    Args:
        altitude_ft: above sea level.
        height_ft: above the surface.
        distance_nm: to the primary airport.
        airspace: "B", "under B", "C", "D" or "" for any other.

    Returns:
        200 low and near in C and D or under B, 250 below 10,000 ft, else infinite.
    """
    is_near = height_ft <= 2500.0 and distance_nm <= 4.0
    if airspace == "under B" or (airspace in ("C", "D") and is_near):
        return 200.0
    return 250.0 if altitude_ft < 10000.0 else math.inf


def holding_limit_kt(altitude_ft: float, rule: str = "icao", is_slow: bool = False) -> float:
    """Greatest indicated airspeed (kt) in a holding pattern at `altitude_ft` (to 45 000).

    `rule`: "icao" (Doc 8168; `is_slow` for categories A and B; above 34,000 ft the calibrated
    airspeed of M 0.83 in standard air), "turbulence" (the same in turbulence: 280 kt or M 0.80 if
    less) or "faa" (AIM 5-3-8). ValueError for another.
    """
    if rule == "faa":
        return 200.0 if altitude_ft <= 6000.0 else 230.0 if altitude_ft <= 14000.0 else 265.0
    if rule not in ("icao", "turbulence"):
        raise ValueError(f"no holding rule {rule}")
    if is_slow and altitude_ft <= 14000.0:
        return 170.0
    air = Air(0.0, STANDARD_SETTING_HPA).state(min(altitude_ft * FT, _TROPOPAUSE_M))
    if altitude_ft > 34000.0:
        return cas_from_mach(0.83, air) / KT
    if rule == "turbulence":
        return min(280.0, cas_from_mach(0.80, air) / KT)
    return 230.0 if altitude_ft <= 14000.0 else 240.0 if altitude_ft <= 20000.0 else 265.0


def least_assigned_kt(distance_nm: float, is_jet: bool) -> float:
    """Least speed (kt) that control assigns to an arrival below 10,000 ft (AIM 4-4-12).

    `distance_nm` still to fly: jets 210, within 20 NM 170; propellers 200, within 20 NM 150
    (the 200: FAA JO 7110.65, 5-7-3).
    """
    if distance_nm <= 20.0:
        return 170.0 if is_jet else 150.0
    return 210.0 if is_jet else 200.0


def is_speed_assignable(distance_nm: float, final_fix_nm: float) -> bool:
    """Whether control may still assign a speed `distance_nm` before the runway.

    Not inside the final fix (`final_fix_nm` before the runway) or 5 NM, whichever is nearer to the
    runway (AIM 4-4-12).
    """
    return distance_nm >= min(final_fix_nm, 5.0)
