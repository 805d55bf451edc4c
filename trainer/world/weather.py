"""What is reported of the weather at a runway: visual range by part, surface, braking, icing.

Owns the published conversions and words. It knows no minimum and sees nothing (that is `sight`).
The surprising rule: a runway visual range is how far the *lights* are seen, so it is longer than
the visibility, and at night by more than by day.
"""

from __future__ import annotations

import math
from typing import NamedTuple

DAY_LUX = 1e-4
"""Illuminance (lux) an eye needs by day (ICAO Doc 9328, from memory)."""
NIGHT_LUX = 8e-7
"""Illuminance (lux) an eye needs at night (ICAO Doc 9328, from memory)."""

SURFACES = (
    "dry", "frost", "wet", "slippery wet", "slush", "dry snow", "wet snow", "compacted snow",
    "standing water", "ice", "wet ice",
)  # fmt: skip
"""Words for the state of a runway (ICAO Doc 9981, global reporting format; from memory)."""

BRAKING = {
    6: "dry", 5: "good", 4: "good to medium", 3: "medium", 2: "medium to poor", 1: "poor", 0: "nil",
}  # fmt: skip
"""Braking action by runway condition code (FAA AIM 4-3-9, runway condition assessment matrix)."""

ICING = ("none", "light", "moderate", "severe")
"""Words for the intensity of icing (FAA AIM 7-1)."""
ICING_BELOW_C = 10.0
"""Outside air temperature (°C) at or below which icing is looked for (common practice)."""

RVR_MILES = (
    (1600.0, 0.25), (2400.0, 0.5), (3200.0, 0.625), (4000.0, 0.75), (4500.0, 0.875),
    (5000.0, 1.0), (6000.0, 1.25),
)  # fmt: skip
"""Runway visual range (ft) and the visibility in statute miles that stands for it (FAA AIM 5-4)."""

_FACTORS = {("high", False): 1.5, ("high", True): 2.0, ("other", False): 1.0,
            ("other", True): 1.5, ("none", False): 1.0}  # fmt: skip


class VisualRange(NamedTuple):
    """Runway visual range by part, m; None where nothing is measured."""

    touchdown_m: float | None = None
    midpoint_m: float | None = None
    stop_end_m: float | None = None

    def at(self, along_m: float, length_m: float) -> float | None:
        """The value (m) of the third of a runway of `length_m` in which `along_m` lies.

        `along_m` past the threshold (negative before it counts as touchdown). Where the third has
        none the nearest one towards the threshold counts.
        """
        third = min(2, max(0, int(3.0 * along_m / length_m)))
        for value_m in self[third::-1]:
            if value_m is not None:
                return value_m
        return None


def converted_visibility_m(visibility_m: float, lights: str, is_night: bool) -> float | None:
    """The runway visual range (m) that a reported visibility stands for, when none is reported.

    `lights` "high" (high intensity approach and runway lights), "other" or "none"; None without
    lights at night. Not for take-off, nor for minima below 800 m. Source: AMC10 CAT.OP.MPA.110.
    KeyError for another word.
    """
    if lights == "none" and is_night:
        return None
    return visibility_m * _FACTORS[lights, is_night]


def visual_range_m(
    reported_m: float | None, visibility_m: float, lights: str, is_night: bool
) -> float | None:
    """The range (m) that counts for minima: as reported, else the converted visibility."""
    if reported_m is not None:
        return reported_m
    return converted_visibility_m(visibility_m, lights, is_night)


def miles_for_range(rvr_ft: float) -> float:
    """Visibility in statute miles that stands for a runway visual range (ft) minimum.

    Between two values of the table the higher counts; above 6,000 ft ValueError (FAA AIM 5-4).
    """
    for listed_ft, miles in RVR_MILES:
        if rvr_ft <= listed_ft:
            return miles
    raise ValueError("no visibility stands for a visual range above 6,000 ft")


def light_range_m(visibility_m: float, intensity_cd: float, threshold_lux: float) -> float:
    """How far (m) a light is seen, never less than the visibility: the physics of visual range.

    Args:
        visibility_m: meteorological optical range, m (50..20 000), at which contrast falls to 5 %.
        intensity_cd: of the light towards the eye, cd (10..100 000).
        threshold_lux: what the eye needs: `DAY_LUX` or `NIGHT_LUX`.

    Solves Allard's law E = I e^(−3R/V)/R² with V of Koschmieder (ICAO Doc 9328), by Newton's
    method on ln E, which is convex and falls with R.
    """
    per_m = -math.log(0.05) / visibility_m
    wanted = math.log(intensity_cd / threshold_lux)
    range_m = 1.0
    for _ in range(60):
        error = wanted - per_m * range_m - 2.0 * math.log(range_m)
        change_m = error / (per_m + 2.0 / range_m)
        range_m += change_m
        if abs(change_m) < 1e-9 * range_m:
            break
    return max(range_m, visibility_m)


def condition_code(surface: str, depth_m: float = 0.0, temperature_c: float = 0.0) -> int:
    """Runway condition code, 6 (dry) to 0, of a word in `SURFACES`.

    `depth_m` of what lies on it, `temperature_c` of the air (compacted snow holds better at −15 and
    below). From the runway condition assessment matrix (ICAO Doc 9981, FAA AC 150/5200-30D; from
    memory). ValueError for another word.
    """
    is_deep = depth_m > 0.003
    codes = {
        "dry": 6,
        "frost": 5,
        "wet": 2 if is_deep else 5,
        "slippery wet": 3,
        "slush": 2 if is_deep else 5,
        "dry snow": 3 if is_deep else 5,
        "wet snow": 3 if is_deep else 5,
        "compacted snow": 4 if temperature_c <= -15.0 else 3,
        "standing water": 2,
        "ice": 1,
        "wet ice": 0,
    }
    if surface not in codes:
        raise ValueError(f"no runway state {surface}")
    return codes[surface]


def braking_coefficient(code: int, dry: float, wet: float) -> float:
    """Friction at full braking for a runway condition code, of a type's dry and wet figures.

    0.20, 0.16 for codes 4 and 3, half the wet figure and at most 0.16 for 2, 0.08 for 1 (FAA
    AC 25-32, from memory); 0.05 for 0, where no landing is allowed (invented). Never above wet.
    KeyError for another code.
    """
    if code == 6:
        return dry
    capped = {5: wet, 4: 0.20, 3: 0.16, 2: min(0.5 * wet, 0.16), 1: 0.08, 0: 0.05}
    return min(wet, capped[code])


def is_icing_possible(temperature_c: float, is_in_cloud: bool, visibility_m: float) -> bool:
    """Whether icing is to be looked for: cold enough, and cloud or mist below 1,500 m visibility.

    Common practice: visible moisture at or below +10 °C.
    """
    return temperature_c <= ICING_BELOW_C and (is_in_cloud or visibility_m < 1500.0)
